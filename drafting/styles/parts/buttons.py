"""Buttons down the front of an upper: where buttons and holes sit."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.details.buttons import Button, Opening, mark_button, mark_place, mark_upright_hole, places
from drafting.details.plackets import LAP, OVERLAP, SIDE, UNDERLAP
from drafting.geometry import Path, Point
from drafting.making import Making, Phase
from drafting.pattern import MarkKind, NotionNeed
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.plackets import FOLD

_SEAM_CLEAR = 8.0  # mm between a button's edge and the waist seam (common practice, no source)
_FOOT_CLEAR = 2.0  # diameters between the lowest button and the foot of a half placket (common practice)
_STAND_SHARE = 0.7  # of the spacing: the first button below a stand that has one of its own
_OPENS = (
    "Work the buttonholes across the right front, each from a little beyond the centre line inward; sew the "
    "buttons to the left front on the centre line."
)
_ALONG = (
    "Work the buttonholes along the middle of the right placket, each from a little above its button "
    "downward; sew the buttons to the middle of the left one."
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
        """Mark buttons, and holes where they open, from the neckline to the waist seam or above the hem."""
        if not making.centre("front").buttoned:
            return
        edge = _edge(making)
        button = Button(making.house["button_diameter"], making.house["button_thickness"])
        spots = places(_opening(making, edge.length, button), button)
        heights = [edge.start.y - at for at in spots]
        if making.centre("front").kind == "half placket":
            _on_strips(making, button, heights)
        else:
            _on_front(making, edge, button, heights)
        making.notions.append(NotionNeed("button", len(spots), button.diameter, "down the front"))


def _on_strips(making: Making, button: Button, heights: list[float]) -> None:
    for y in heights:
        mark_upright_hole(making.sketches[OVERLAP], button, y)
        mark_place(making.sketches[UNDERLAP], y)
    making.note(Phase.HEM, _ALONG)


def _on_front(making: Making, edge: Path, button: Button, heights: list[float]) -> None:
    sketch = making.shell("front")
    top, foot = Point(0.0, edge.start.y), Point(0.0, edge.end.y)
    if all(mark.kind is not MarkKind.CENTRE_LINE for mark in sketch.marks):
        sketch.mark("centre front", MarkKind.CENTRE_LINE, Path.line(top, foot))
    folded, opens = making.centre("front").folded, making.centre("skirt front").kind == "buttons"
    for y in heights:
        if folded:
            mark_upright_hole(sketch, button, y)
            mark_place(sketch, y)
        elif opens:
            mark_button(sketch, button, y)
        else:
            mark_place(sketch, y, "through both fronts")
    making.note(Phase.HEM, _ALONG if folded else _OPENS if opens else _HELD)


def _edge(making: Making) -> Path:
    """The edge that laps over, downward: the fold of a placket, or the edge of the stand."""
    centre, sketch = making.centre("front"), making.shell("front")
    if centre.kind == "half placket":
        sketch = making.sketches[OVERLAP]
        return Path.line(sketch.path(LAP).end, Point(-centre.extension, sketch.path(SIDE).end.y))
    if centre.folded:
        return next(mark.path for mark in sketch.marks if mark.name == FOLD)
    path = sketch.path("front edge")
    return path if path.start.y > path.end.y else path.reversed()


def _opening(making: Making, length: float, button: Button) -> Opening:
    house = making.house
    seam = _SEAM_CLEAR + button.diameter / 2
    above = seam if "front waist" in making.lines else min(house["button_above_hem"], 0.25 * length)
    if making.centre("front").kind == "half placket":
        above = min(_FOOT_CLEAR * button.diameter, 0.3 * length)
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
