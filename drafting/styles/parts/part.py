"""What a part is, and how parts make a style."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Protocol

from drafting.blocks.rules import House
from drafting.body import Body
from drafting.making import Making
from drafting.pattern import Draft, Finished
from drafting.styles.choices import Choice, ChoiceValue, Clash, Style
from drafting.styles.parts.fit_marks import mark_fit


class Part(Protocol):
    """One part of a garment: an upper, a neckline, a sleeve, a skirt ...

    ``choices`` are asked of whoever orders; ``needs`` are the measurements that it reads; ``clashes`` are the
    choices that cannot go together, its own or those of another part. ``make`` adds to the garment.
    """

    @property
    def choices(self) -> tuple[Choice, ...]: ...

    @property
    def needs(self) -> tuple[str, ...]: ...

    @property
    def clashes(self) -> tuple[Clash, ...]: ...

    def make(self, making: Making) -> None:
        """Add this part. Raises: CannotDraft, BadChoice."""


def composed(
    name: str, title: str, summary: str, parts: tuple[Part, ...], clashes: tuple[Clash, ...] = ()
) -> Style:
    """Return the style that these parts make, in the order in which they build on one another.

    The order is: closure (how the centres meet), upper, neckline, collar, sleeves, skirt, lining, pockets,
    style lines. A choice that two parts share (the same name) is asked once.
    """

    def recipe(body: Body, chosen: Mapping[str, ChoiceValue], house: House) -> Draft:
        making = Making(body, house, chosen)
        for part in parts:
            part.make(making)
        mark_fit(making)
        measure_shell(making)
        # A part may have drawn with other ease; the draft is recomputed from the house rules as they came.
        return replace(making.draft(name), house=dict(house))

    choices = {choice.name: choice for part in parts for choice in part.choices}
    asked = set(choices)
    known = tuple(
        clash
        for clash in (*(clash for part in parts for clash in part.clashes), *clashes)
        if {clash.name, clash.other} <= asked
    )
    needs = dict.fromkeys(need for part in parts for need in part.needs)
    return Style(name, title, summary, tuple(choices.values()), tuple(needs), recipe, known)


def measure_shell(making: Making) -> None:
    """Say how long shoulder seam and armhole have become, beside the body's own, where there are any."""
    lines, body = making.lines, making.body
    if "front shoulder" not in lines:
        return
    armhole = sum(making.run_length(lines[f"{side} armhole"]) for side in ("front", "back"))
    making.finished += [
        Finished("shoulder seam", making.run_length(lines["front shoulder"]), body["shoulder_length"]),
        Finished("armhole", armhole, body["armscye_girth"]),
    ]
