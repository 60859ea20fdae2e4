"""Loops at a waistband: to hold a belt, and to hang the garment by."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.making import Making, Phase
from drafting.pattern import NotionNeed
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.belts import sew_loops
from drafting.styles.parts.closures import ELASTIC
from drafting.styles.parts.waistband import NAME

_LOOPS = {False: 5, True: 4}  # for a grown wearer, for a child (common practice, no source)


@dataclass(frozen=True, slots=True)
class BandLoops:
    """Belt loops over the waistband, and two loops of tape inside it; comes after the waistband."""

    needs: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = (
        Choice("belt_loops", "Belt loops", "switch", False),
        Choice("hanging_loops", "Loops to hang it by", "switch", False),
    )
    clashes: tuple[Clash, ...] = (
        Clash(
            "belt_loops",
            (True,),
            "closure",
            (ELASTIC,),
            "A waist on elastic is drawn in without a belt: choose a waistband that closes, or no loops.",
        ),
    )

    def make(self, making: Making) -> None:
        """Add the loops that were chosen."""
        if making.choices.get("belt_loops", False):
            self._belt_loops(making)
        if making.choices.get("hanging_loops", False):
            length = 2 * making.house["tape_loop"]
            making.notions.append(NotionNeed("tape", 2, length, "loops to hang it by, at both sides"))
            making.note(
                Phase.CLOSURE, "Catch a loop of tape inside the waistband at each side before it is felled."
            )

    def _belt_loops(self, making: Making) -> None:
        count = _LOOPS[making.body.is_child]
        sew_loops(making, making.sketches[NAME].path("first end outside").length, count)
        behind = " and one at the centre back" if count % 2 else ""
        making.note(
            Phase.CLOSURE,
            "Catch the belt loops in the seam of the waistband and at its upper edge: two in front, half-way "
            f"between centre and side, two behind in the same way{behind}.",
        )
