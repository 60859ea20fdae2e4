"""Uppers beside what is published of bodies and of ease."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.geometry import distance
from drafting.house import house_rules
from drafting.making import Making
from drafting.pattern import Draft
from drafting.styles.parts.uppers import FittedBodice

INCH = 25.4
# US Army survey of 1988 (ADA225094), women, n = 2208, means, mm.
SURVEYED = {"stature": 1629.4, "bust_girth": 907.1, "waist_girth": 725.5, "hip_girth": 966.9}
UNDERBUST = 769.7


def drawn_ease(draft: Draft, name: str) -> float:
    """The ease as it lies in the pieces, inches: their summed widths less the body."""
    level = next(level for level in draft.levels if level.name == name)
    drawn = sum(chord.times * distance(chord.start, chord.end) for chord in level.chords)
    return (drawn - SURVEYED[f"{name}_girth"]) / INCH


def test_a_raised_seam_passes_the_surveyed_womans_ribs_as_closely_as_a_bodice_does() -> None:
    """Source of the girth under the bust: survey of 1988. 1 to 4 in of ease there: common practice."""
    making = Making(Body.of(SURVEYED), house_rules(), {"waist_seam": "raised"})
    FittedBodice(("raised",)).make(making)

    seam = 2 * sum(making.run_length(making.lines[f"{side} waist"]) for side in ("front", "back"))

    assert 1 * INCH < seam - UNDERBUST < 4 * INCH


@pytest.mark.parametrize(
    ("style", "girth", "least", "most"),
    [
        ("sheath-dress", "bust", 1.5, 2.0),
        ("sheath-dress", "waist", 0.75, 1.0),
        ("sheath-dress", "hip", 2.0, 2.75),
        ("shift-dress", "bust", 1.5, 3.0),
    ],
)
def test_the_ease_drawn_is_the_textbooks(style: str, girth: str, least: float, most: float) -> None:
    """A dress at bust 1 1/2 to 2, waist 3/4 to 1, hip 2 to 2 3/4 in; a plain shirt at the chest 3 in at most.

    Source: Robinson, Ease in Clothing (ch. 16).
    """
    ease = drawn_ease(make_draft(style, Body.of(SURVEYED)), girth)

    assert least - 0.08 <= ease <= most + 0.08  # 2 mm: the limit of the check of girths
