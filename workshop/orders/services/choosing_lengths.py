"""The lengths on the shelf that the owner chose for a lay, as the lay planner takes them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from costing.queries import lengths_of
from costing.rules.lengths import Length
from drafting.layplan import Flaw, Stretch
from drafting.units import Unit, format_length
from workshop.errors import Refusal
from workshop.orders.models import GarmentCloth

MOST_LENGTHS = 12
"""A garment pieced together from more is a slip of the finger."""


class LengthGone(Refusal):
    """A length that was chosen does not lie free any more."""


@dataclass(frozen=True, slots=True)
class ChosenLengths:
    """The lengths that a lay may take from, by the names that they have in it; ``roll``: and new cloth."""

    lengths: dict[str, Length]
    roll: bool

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        return tuple(
            Stretch(
                row.free, tuple(Flaw(max(spot.at, 0.0), spot.across, spot.size) for spot in row.flaws), name
            )
            for name, row in self.lengths.items()
        )

    @property
    def keys(self) -> dict[str, int]:
        return {name: row.key for name, row in self.lengths.items() if row.key is not None}


def chosen_lengths(row: GarmentCloth, chosen: Sequence[int | None], unit: Unit) -> ChosenLengths:
    """Find the lengths that were chosen; what the garment has set aside itself is as good as free.

    They are used up the shortest first, the roll last, so that what is left over is left of the longest.

    Args:
        row: the cloth of the garment.
        chosen: keys of lengths; None for the roll.
        unit: of the workshop, in which the lengths are named.

    Raises: LengthGone. Refusal where too many are chosen.
    """
    if len(chosen) > MOST_LENGTHS:
        raise Refusal(f"At most {MOST_LENGTHS} lengths serve one lay.", field="length")
    there = {found.key: found for found in lengths_of([row.cloth_id], but_for=row.garment_id)[row.cloth_id]}
    wanted = {key for key in chosen if key is not None}
    if not wanted <= there.keys():
        raise LengthGone("A length that was chosen does not lie free any more; look at the shelf again.")
    lengths = sorted((there[key] for key in wanted), key=lambda length: (length.free, length.key or 0))
    return ChosenLengths(_named(lengths, unit), roll=None in chosen)


def _named(lengths: Sequence[Length], unit: Unit) -> dict[str, Length]:
    """The lengths by name; those that would be named alike are numbered."""
    names = [f"{'remnant' if row.is_remnant else 'length'} of {_as_sold(row.free, unit)}" for row in lengths]
    alike, seen, found = Counter(names), Counter[str](), {}
    for name, row in zip(names, lengths, strict=True):
        seen[name] += 1
        found[f"{name}, no. {seen[name]}" if alike[name] > 1 else name] = row
    return found


def _as_sold(mm: float, unit: Unit) -> str:
    """In yards where the workshop measures in inches, else in metres to the centimetre."""
    return f"{format_length(mm, Unit.YD)} yd" if unit is Unit.IN else f"{mm / 1000:.2f} m"
