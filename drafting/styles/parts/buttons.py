"""Buttons down the front of an upper: where buttons and holes sit."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.details.buttons import Button, Opening, mark_button, places
from drafting.geometry import Path, Point
from drafting.making import Making, Phase
from drafting.pattern import MarkKind, NotionNeed
from drafting.styles.choices import Choice, Clash

_SEAM_CLEAR = 8.0  # mm between a button's edge and the waist seam (common practice, no source)
_STAND_SHARE = 0.7  # of the spacing: the first button below a stand that has one of its own
_OPENS = (
    "Work the buttonholes across the right front, each from a little beyond the centre line inward; sew the "
    "buttons to the left front on the centre line."
)
_HELD = (
    "Lap the right front over the left, centre on centre, and baste the laps into the waist seam; the "
    "buttons are sewn through both fronts and do not open."
)


@dataclass(frozen=True, slots=True)
class FrontButtons:
    """Buttons an opening down the front, once the neckline is cut; comes beside ``ZipIn``.

    The skirt's buttons are the skirt's own (``skirts.stand``).
    """

    choices: tuple[Choice, ...] = ()
    needs: tuple[str, ...] = ()
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Mark buttons and buttonholes from the neckline to the waist seam or to above the hem."""
        if making.centre("front").kind != "buttons":
            return
        sketch, edge = making.shell("front"), _edge(making)
        button = Button(making.house["button_diameter"], making.house["button_thickness"])
        spots = places(_opening(making, edge.length, button), button)
        top, foot = Point(0.0, edge.start.y), Point(0.0, edge.end.y)
        if all(mark.kind is not MarkKind.CENTRE_LINE for mark in sketch.marks):
            sketch.mark("centre front", MarkKind.CENTRE_LINE, Path.line(top, foot))
        for at in spots:
            mark_button(sketch, button, edge.start.y - at)
        making.notions.append(NotionNeed("button", len(spots), button.diameter, "down the front"))
        making.note(Phase.HEM, _OPENS if making.centre("skirt front").kind == "buttons" else _HELD)


def _edge(making: Making) -> Path:
    """The edge of the stand, downward."""
    path = making.shell("front").path("front edge")
    return path if path.start.y > path.end.y else path.reversed()


def _opening(making: Making, length: float, button: Button) -> Opening:
    house = making.house
    seam = _SEAM_CLEAR + button.diameter / 2
    above = seam if "front waist" in making.lines else min(house["button_above_hem"], 0.25 * length)
    first = max(0.75 * button.diameter, button.diameter / 2 + 6.35)
    if making.roll_lines:  # a lapel breaks at its first button
        first = 0.0
    if making.chosen("collar") == "shirt":  # its stand has a button of its own
        first = _STAND_SHARE * house["button_spacing"]
    first = min(first, 0.4 * length)
    return Opening(first, max(length - above, first), house["button_spacing"], _bust_level(making))


def _bust_level(making: Making) -> float | None:
    """From the top of the stand down to the level of the bust, where it would gape; none for a child."""
    level = making.height_of("bust")
    return None if making.body.is_child or level is None else _edge(making).start.y - level
