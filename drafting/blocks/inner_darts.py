"""Waist darts that lie inside a piece, pointed at both ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drafting.blocks.bodice import Proportions, Shaping, dart_places
from drafting.blocks.waist import WIDEST_OF_LENGTH
from drafting.errors import CannotDraft
from drafting.geometry import Point

_MOST_DARTS = 3
NO_SHAPING = Shaping(0.0, 0.0, 0)


@dataclass(frozen=True, slots=True)
class InnerDart:
    """A dart pointed at both ends, widest at the waist: ``half`` to either side of its axis, mm."""

    axis: float
    top: float  # height of its upper point
    foot: float  # height of its lower point, below 0
    half: float

    @property
    def length(self) -> float:
        """Of its shorter part, mm."""
        return min(self.top, -self.foot)

    @property
    def inner(self) -> Point:
        return Point(self.axis - self.half, 0.0)

    @property
    def outer(self) -> Point:
        return Point(self.axis + self.half, 0.0)


def inner_darts(
    p: Proportions, first: float, reach: tuple[float, float], shaping: Shaping
) -> tuple[InnerDart, ...]:
    """Return darts beside one another, the first longest.

    Args:
        p: the bodice's lengths.
        first: from the centre to the first dart's axis, mm.
        reach: heights of its upper and its lower point.
        shaping: how wide and how many.

    Raises: CannotDraft, field "waist_girth", where one is stubby.
    """
    darts = _placed(p, first, reach, shaping)
    _refuse_stubby(darts)
    return darts


def _placed(
    p: Proportions, first: float, reach: tuple[float, float], shaping: Shaping
) -> tuple[InnerDart, ...]:
    top, foot = reach
    return tuple(
        InnerDart(place.axis, place.apex, foot * (1 - 0.12 * k), shaping.each / 2)
        for k, place in enumerate(dart_places(p, first, top, shaping))
    )


def flat_shaping(p: Proportions, shaping: Shaping, reach: tuple[float, float]) -> Shaping:
    """The same shaping in as many darts as it takes for none to be stubby, three at most."""
    intake = shaping.each * shaping.count
    for count in range(max(shaping.count, 1), _MOST_DARTS + 1):
        tried = Shaping(shaping.side, intake / count, count if intake else 0)
        if not any(map(_is_stubby, _placed(p, p.bust_point, reach, tried))):
            return tried
    return shaping


def _is_stubby(dart: InnerDart) -> bool:
    """Whether it is too wide for its length to lie flat."""
    return 2 * dart.half > WIDEST_OF_LENGTH * dart.length


def _refuse_stubby(darts: Sequence[InnerDart]) -> None:
    stubby = next(filter(_is_stubby, darts), None)
    if stubby is not None:
        raise CannotDraft(
            f"a waist dart would be {2 * stubby.half:.0f} mm wide and only {stubby.length:.0f} mm long; "
            "leave the waist looser, or take more of it in at the side seam",
            field="waist_girth",
        )
