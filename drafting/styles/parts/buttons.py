"""Buttons down the front: the skirt's button stand, and where buttons and holes sit."""

from __future__ import annotations

from dataclasses import dataclass, replace

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.buttons import Button, Opening, mark_button, places
from drafting.geometry import Path, Point
from drafting.making import Making, Phase, run
from drafting.pattern import Cut, EdgeKind, MarkKind, Method, NotionNeed
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.armholes import child_share

_FACING = "skirt front facing"
_SEAM_CLEAR = 8.0  # mm between a button's edge and the waist seam (common practice, no source)


@dataclass(frozen=True, slots=True)
class FrontButtons:
    """Buttons an opening down the front, once all its pieces are drawn; comes beside ``ZipIn``."""

    choices: tuple[Choice, ...] = ()
    needs: tuple[str, ...] = ()
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Face and join the skirt's stand, then mark the buttons from the neckline to the lower edge."""
        fronts = _fronts(making)
        if not fronts:
            return
        if len(fronts) > 1:
            _join_at_the_waist(making, *fronts)
        elif "front waist" in making.lines and "skirt front" in making.shells:
            _close_below(making, fronts[0])
        _mark_buttons(making, fronts)


def _fronts(making: Making) -> list[Sketch]:
    """The pieces of the shell with a button stand, from above downward."""
    found = []
    for role in ("front", "skirt front"):
        if role in making.shells:
            sketch = making.shell(role)
            if any(stroke.name == "front edge" for stroke in sketch.strokes):
                found.append(sketch)
    return found


def _edge(sketch: Sketch) -> Path:
    """The edge of the stand, downward."""
    path = sketch.path("front edge")
    return path if path.start.y > path.end.y else path.reversed()


def _mark_buttons(making: Making, fronts: list[Sketch]) -> None:
    house = making.house
    button = Button(house["button_diameter"], house["button_thickness"])
    spots = places(_opening(making, fronts, button), button)
    walked = 0.0
    for sketch in fronts:
        edge = _edge(sketch)
        top, foot = Point(0.0, edge.start.y), Point(0.0, edge.end.y)
        sketch.mark("centre front", MarkKind.CENTRE_LINE, Path.line(top, foot))
        for at in spots:
            if walked <= at < walked + edge.length:
                mark_button(sketch, button, edge.start.y - (at - walked))
        walked += edge.length
    making.notions.append(NotionNeed("button", len(spots), button.diameter, "down the front"))
    making.note(
        Phase.HEM,
        "Work the buttonholes across the right front, each from a little beyond the centre line inward; sew "
        "the buttons to the left front on the centre line.",
    )


def _opening(making: Making, fronts: list[Sketch], button: Button) -> Opening:
    house, edges = making.house, [_edge(sketch) for sketch in fronts]
    length, upper = sum(edge.length for edge in edges), edges[0].length
    at_hem = len(fronts) > 1 or "front waist" not in making.lines
    above_foot = min(house["button_above_hem"], 0.25 * length) if at_hem else _clear(button)
    first = min(max(0.75 * button.diameter, button.diameter / 2 + 6.35), 0.5 * length)
    return Opening(
        first,
        max(length - above_foot, first),
        house["button_spacing"],
        _bust_level(making, edges[0]),
        upper if len(fronts) > 1 else None,
        _clear(button),
    )


def _clear(button: Button) -> float:
    return button.diameter / 2 + _SEAM_CLEAR


def _bust_level(making: Making, edge: Path) -> float | None:
    """From the top of the edge down to the level of the bust, where it opens otherwise; none for a child."""
    level = making.height_of("bust")
    return None if making.body.is_child or level is None else edge.start.y - level


def _join_at_the_waist(making: Making, upper: Sketch, skirt: Sketch) -> None:
    """Sew the stands together at the waist, and face the skirt's."""
    if _FACING not in making.sketches:
        _face_skirt(making, skirt)
    top = skirt.stroke("neck extension")
    skirt.put(top.name, replace(top, allowance=making.house["seam_allowance"]))
    making.sew(
        Phase.WAIST,
        "button stand at the waist",
        run(skirt.name, "neck extension"),
        run(upper.name, "waist extension"),
    )


def _close_below(making: Making, upper: Sketch) -> None:
    """Above a skirt that is whole in front the stands are lapped, and caught in the waist seam."""
    line = run(upper.name, "waist extension")
    making.sew(Phase.WAIST, "lap of the fronts at the waist", line, line, times=1)
    making.note(
        Phase.WAIST,
        "Lap the right front over the left, centre on centre, and baste the laps together at the waist.",
    )


def _face_skirt(making: Making, skirt: Sketch) -> None:
    """A straight facing for the skirt's stand, from waist to hem."""
    house = making.house
    edge = _edge(skirt)
    width = min(house["front_facing_width"] * child_share(making), 3 * making.centre("front").extension)
    top, foot = edge.start.y, edge.end.y
    outer, inner = edge.start.x, edge.start.x + width
    enclosed = house["enclosed_allowance"]
    corners = (Point(outer, top), Point(inner, top), Point(inner, foot), Point(outer, foot))
    making.add(
        Sketch(
            _FACING,
            [
                Stroke("top", Path.line(corners[0], corners[1]), EdgeKind.HEM, house["seam_allowance"]),
                Stroke("facing inner", Path.line(corners[1], corners[2]), EdgeKind.HEM, enclosed),
                Stroke("hem", Path.line(corners[3], corners[2]), EdgeKind.HEM, house["hem_depth"]),
                Stroke("front edge", Path.line(corners[0], corners[3]), EdgeKind.SEAM, enclosed),
            ],
            (Cut("shell", 2, mirrored=True), Cut("interfacing", 2, mirrored=True)),
            (
                Point((outer + inner) / 2, foot + 0.2 * (top - foot)),
                Point((outer + inner) / 2, foot + 0.8 * (top - foot)),
            ),
            is_front=True,
        )
    )
    making.sew(
        Phase.SKIRT,
        "button stand of the skirt",
        run(_FACING, "front edge"),
        run(skirt.name, "front edge"),
        Method.FACED,
    )
