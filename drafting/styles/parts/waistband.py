"""The waistband: a straight strip around the waist that skirts and trousers hang from.

It is drawn before the skirt and takes the place of an upper: its lower edge is "front waist" and "back waist"
(the right half) and "front waist left", "back waist left".
"""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.buttons import Button, mark_on_ends
from drafting.geometry import Path, Point
from drafting.making import Making, Phase, Width, run
from drafting.pattern import Cut, EdgeKind, Finished, MarkKind, Method, NotionNeed
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.closures import ELASTIC, FLY, FRONT_BUTTONS, SIDE_ZIP

NAME = "waistband"
_GROWN_WAIST = 640.0  # mm: a band around a smaller waist is narrower in proportion
_ELASTIC_SHARE = 0.92  # of the waist girth: length of the elastic (common practice, no source)
_ELASTIC_LESS = 6.0  # mm that the elastic is narrower than its casing
# The quarters as they follow one another, seen from outside, from where the band opens.
_ORDERS = {
    SIDE_ZIP: ("left back", "right back", "right front", "left front"),
    FRONT_BUTTONS: ("left front", "left back", "right back", "right front"),
    FLY: ("left front", "left back", "right back", "right front"),
}
_FROM_BACK = ("right back", "right front", "left front", "left back")


@dataclass(frozen=True, slots=True)
class Waistband:
    """A folded, interfaced band with an underlap; a casing for elastic where nothing opens."""

    choices: tuple[Choice, ...] = ()
    needs: tuple[str, ...] = ("waist_girth", "hip_girth")
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Draw the band and name its lower edge."""
        closure = _closure(making)
        plan = _plan(making, closure)
        making.add(_band(making, plan))
        _name_lines(making, plan)
        _close(making, plan)
        _measure(making, plan)


def _closure(making: Making) -> str:
    """What the style's closure says; a zip at the back is known by the centre."""
    if making.centre("front").kind == "buttons":
        return FRONT_BUTTONS
    if making.centre("front").kind == FLY:
        return FLY
    if making.centre("back").kind == "zip":
        return "back"
    return making.chosen("closure", ELASTIC)


@dataclass(frozen=True, slots=True)
class _Plan:
    """Laps are what the band reaches beyond the opening at its two ends, mm."""

    quarter: float
    height: float
    quarters: tuple[str, ...]
    laps: tuple[float, float]
    elastic: bool

    @property
    def length(self) -> float:
        return 4 * self.quarter + sum(self.laps)


def _plan(making: Making, closure: str) -> _Plan:
    body, house = making.body, making.house
    height = house["waistband_width"] * min(1.0, max(0.6, body["waist_girth"] / _GROWN_WAIST))
    if closure == ELASTIC:
        # Without an opening it must pass the hip.
        around = max(body["hip_girth"], body["waist_girth"]) + house["hip_ease"]
        return _Plan(around / 4, height, _FROM_BACK, (0.0, 0.0), elastic=True)
    lap, extension = house["waistband_lap"], making.centre("front").extension
    laps = {SIDE_ZIP: (lap, 0.0), FLY: (lap, 0.0), FRONT_BUTTONS: (extension, extension)}.get(
        closure, (0.0, lap)
    )
    quarter = (body["waist_girth"] + house["skirt_waist_ease"]) / 4
    return _Plan(quarter, height, _ORDERS.get(closure, _FROM_BACK), laps, elastic=False)


def _lower(plan: _Plan) -> list[tuple[str, float, float]]:
    """Name and x of the stretches of the lower edge, from left to right."""
    found, at = [], 0.0
    widths = [plan.laps[0], *[plan.quarter] * 4, plan.laps[1]]
    for name, width in zip(("first lap", *plan.quarters, "last lap"), widths, strict=True):
        if width > 0:
            found.append((name, at, at + width))
        at += width
    return found


def _edge(name: str) -> str:
    return f"waist {name}"


def _outward(name: str, a: float, b: float) -> Path:
    """A stretch from the centre outward; a lap from left to right."""
    leftward = name in {"right front", "left back"}
    start, end = (b, a) if leftward else (a, b)
    return Path.line(Point(start, 0.0), Point(end, 0.0))


def _band(making: Making, plan: _Plan) -> Sketch:
    seam = making.house["seam_allowance"]
    right, up, full = plan.length, plan.height, 2 * plan.height

    def stroke(name: str, a: Point, b: Point) -> Stroke:
        return Stroke(name, Path.line(a, b), EdgeKind.SEAM, seam)

    lower = [Stroke(_edge(n), _outward(n, a, b), EdgeKind.SEAM, seam) for n, a, b in _lower(plan)]
    strokes = [
        *lower,
        stroke("last end outside", Point(right, 0.0), Point(right, up)),
        stroke("last end inside", Point(right, full), Point(right, up)),
        stroke("inside", Point(0.0, full), Point(right, full)),
        stroke("first end inside", Point(0.0, full), Point(0.0, up)),
        stroke("first end outside", Point(0.0, 0.0), Point(0.0, up)),
    ]
    cuts = (Cut("shell", 1),) if plan.elastic else (Cut("shell", 1), Cut("interfacing", 1))
    grain = Point(0.2 * right, up), Point(0.8 * right, up)
    sketch = Sketch(NAME, strokes, cuts, grain)
    sketch.mark("fold", MarkKind.GUIDE, Path.line(Point(0.0, up), Point(right, up)))
    for before, at, _ in _lower(plan)[1:]:
        line = Path.line(Point(at, 0.0), Point(at, up))
        sketch.mark(f"joint before {before}", MarkKind.GUIDE, line)
    return sketch


def _name_lines(making: Making, plan: _Plan) -> None:
    for side in ("front", "back"):
        making.lines[f"{side} waist"] = run(NAME, _edge(f"right {side}"))
        making.lines[f"{side} waist left"] = run(NAME, _edge(f"left {side}"))
    if plan.laps[0]:
        making.lines["front lap"] = run(NAME, _edge("first lap"))
    if all(plan.laps):
        # Right and left front have a lap each: that of the button stand.
        making.lines["front waist extension"] = run(NAME, _edge("last lap"))
        making.lines["front waist extension left"] = run(NAME, _edge("first lap"))


def _close(making: Making, plan: _Plan) -> None:
    if plan.elastic:
        for half in ("outside", "inside"):
            ends = run(NAME, f"first end {half}"), run(NAME, f"last end {half}")
            making.sew(Phase.SKIRT, f"ends of the casing, {half}", *ends, times=1)
    else:
        for end in ("first end", "last end"):
            folded = run(NAME, f"{end} outside"), run(NAME, f"{end} inside")
            making.sew(Phase.CLOSURE, f"{end} of the waistband", *folded, Method.ENCLOSED, times=1)
    outside = run(NAME, *(_edge(name) for name, _, _ in _lower(plan)))
    making.sew(Phase.CLOSURE, "inside of the waistband", run(NAME, "inside"), outside, Method.LINED, times=1)


def _button(making: Making, plan: _Plan) -> None:
    """A button and its hole where the band crosses the centre front, half-way up its outer half."""
    button = Button(making.house["button_diameter"], making.house["button_thickness"])
    left, right = (Point(x, plan.height / 2) for x in (plan.laps[0], plan.length - plan.laps[1]))
    mark_on_ends(making.sketches[NAME], button, right, left, Point(1.0, 0.0))
    making.notions.append(NotionNeed("button", 1, button.diameter, "waistband"))


def _measure(making: Making, plan: _Plan) -> None:
    body, around = making.body, 4 * plan.quarter
    worn = max(body["hip_girth"], body["waist_girth"]) if plan.elastic else body["waist_girth"]
    widths = (
        Width(NAME, Point(a, 0.0), Point(b, 0.0), 1) for name, a, b in _lower(plan) if "lap" not in name
    )
    making.girth("waist, drawn out" if plan.elastic else "waist", worn, around - worn, *widths)
    making.finished.append(Finished("waist", around, body["waist_girth"]))
    if plan.elastic:
        length = _ELASTIC_SHARE * body["waist_girth"]
        size = plan.height - _ELASTIC_LESS
        making.notions.append(NotionNeed("elastic", 1, length, f"{size:.0f} mm wide, for the casing"))
        making.note(
            Phase.CLOSURE,
            f"Fold the casing and sew it on, a gap left open; draw in {length / 10:.0f} cm of elastic, "
            "try it on, sew its ends together and close the gap.",
        )
        return
    if making.centre("front").kind == "buttons":
        _button(making, plan)
    else:
        making.notions.append(NotionNeed("hook", 1, None, "hook and bar on the waistband"))
    making.note(
        Phase.CLOSURE,
        "Interface the outer half of the waistband; join it, fold it along its middle, close its ends and "
        "fell its inside over the seam.",
    )
