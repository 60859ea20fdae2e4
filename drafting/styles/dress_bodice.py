"""The bodice's pieces of the notched-collar dress: front, facings, back, and their linings."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.bodice import Panel, dart_legs
from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.facing import faced_curve, front_inner_edge
from drafting.geometry import Path, Point, lerp, perpendicular
from drafting.pattern import Cut, Dart, EdgeKind, MarkKind
from drafting.styles.dress_plan import DressPlan

PAIR = Cut("shell", 2, mirrored=True)
_LEAST_BACK_FACING = 20.0  # mm at the centre back: less cannot be turned (common practice, no source)
COLLAR_EDGES = ("collar edge", "collar notch", "lapel top", "lapel edge", "front edge")


@dataclass(frozen=True, slots=True)
class FrontLines:
    """Where the front facing ends: its free edge, and the waist and shoulder that it parts."""

    extension: Path
    waist_centre: Path
    waist_front: Path
    shoulder_faced: Path
    shoulder_rest: Path
    inner: Path


def front_lines(plan: DressPlan) -> FrontLines:
    """Part waist and shoulder of the front at the facing's free edge."""
    front = plan.bodice.front
    first = front.waist.panels[0]
    width = min(plan.house["front_facing_width"] * plan.share, 0.72 * first.length)
    centre, rest = first.split_at(width)
    faced, shoulder_rest = front.shoulder.split_at(plan.faced_shoulder)
    inner = front_inner_edge(
        faced.end,
        -perpendicular(front.shoulder.start_tangent),
        centre.end,
        -perpendicular(centre.end_tangent),
    )
    extension = Path.line(Point(-plan.sizes.extension, 0.0), Point(0.0, 0.0))
    return FrontLines(extension, centre, rest, faced, shoulder_rest, inner)


def _waist_strokes(panel: Panel, allowance: float, first: list[Stroke]) -> tuple[list[Stroke], list[Dart]]:
    """Waist and darts from the centre outward; ``first`` stands for the part before the first dart."""
    strokes, darts = list(first), []
    for k, dart in enumerate(panel.waist_darts):
        legs = dart_legs(dart)
        names = (f"waist dart {k + 1} inner", f"waist dart {k + 1} outer")
        strokes += [Stroke(names[0], legs[0], EdgeKind.DART), Stroke(names[1], legs[1], EdgeKind.DART)]
        last = k + 1 == len(panel.waist_darts)
        name = "waist side" if last else f"waist middle {k + 1}"
        strokes.append(Stroke(name, panel.waist.panels[k + 1], EdgeKind.SEAM, allowance))
        darts.append(Dart("", f"waist dart {k + 1}", dart.inner, dart.apex, dart.outer, names))
    return strokes, darts


def _side_strokes(panel: Panel, allowance: float) -> tuple[list[Stroke], list[Dart]]:
    """From the waist up to the underarm, the bust darts between."""
    names = {1: ("side",), 2: ("side upper", "side lower"), 3: ("side upper", "side middle", "side lower")}
    sides = names[len(panel.sides)]
    strokes, darts = [Stroke(sides[0], panel.sides[0], EdgeKind.SEAM, allowance)], []
    for k, dart in enumerate(panel.bust_darts):
        name = "bust dart" if len(panel.bust_darts) == 1 else f"bust dart {k + 1}"
        upper, lower = dart_legs(dart)
        legs = (f"{name} upper", f"{name} lower")
        strokes += [
            Stroke(legs[0], upper, EdgeKind.DART),
            Stroke(legs[1], lower, EdgeKind.DART),
            Stroke(sides[k + 1], panel.sides[k + 1], EdgeKind.SEAM, allowance),
        ]
        darts.append(Dart("", name, dart.upper, dart.apex, dart.lower, legs))
    return strokes[::-1], darts


def _collar_strokes(plan: DressPlan) -> list[Stroke]:
    """From the neck point round collar and lapel to the waist's front corner."""
    seam, enclosed = plan.house["seam_allowance"], plan.house["enclosed_allowance"]
    c = plan.collar
    foot = Point(-plan.sizes.extension, 0.0)
    back = enclosed if plan.zip_closure else seam
    return [
        Stroke("collar neck", c.neck, EdgeKind.SEAM, enclosed),
        Stroke("collar back", c.back, EdgeKind.SEAM, back),
        Stroke("collar edge", c.edge, EdgeKind.SEAM, enclosed),
        Stroke("collar notch", c.notch, EdgeKind.SEAM, enclosed),
        Stroke("lapel top", c.lapel_top, EdgeKind.SEAM, enclosed),
        Stroke("lapel edge", c.lapel, EdgeKind.SEAM, enclosed),
        Stroke("front edge", Path.line(c.break_point, foot), EdgeKind.SEAM, enclosed),
    ]


def front_bodice(plan: DressPlan, lines: FrontLines) -> Sketch:
    """The front with lapel and collar in one piece."""
    house, front = plan.house, plan.bodice.front
    seam = house["seam_allowance"]
    waist, darts = _waist_strokes(
        front,
        seam,
        [
            Stroke("waist extension", lines.extension, EdgeKind.SEAM, seam),
            Stroke("waist centre", lines.waist_centre, EdgeKind.SEAM, seam),
            Stroke("waist front", lines.waist_front, EdgeKind.SEAM, seam),
        ],
    )
    side, more = _side_strokes(front, house["side_allowance"])
    sketch = Sketch(
        "front bodice",
        [
            *waist,
            *side,
            Stroke("armhole", front.armhole, EdgeKind.SEAM, house["enclosed_allowance"]),
            Stroke("shoulder", front.shoulder, EdgeKind.SEAM, seam),
            *_collar_strokes(plan),
        ],
        (PAIR,),
        _grain(lines.waist_centre.end.x * 0.5, 0.12, 0.62, front.neck.y),
        is_front=True,
        darts=[*darts, *more],
    )
    sketch.notch("armhole", front.armhole_notch)
    _mark_front(plan, sketch)
    return sketch


def _grain(x: float, low: float, high: float, height: float) -> tuple[Point, Point]:
    return Point(x, low * height), Point(x, high * height)


def _mark_front(plan: DressPlan, sketch: Sketch) -> None:
    c, front = plan.collar, plan.bodice.front
    sketch.mark("roll line", MarkKind.ROLL_LINE, Path.line(c.break_point, c.roll_neck))
    end = c.neck.end + (c.back.end - c.back.start) * (plan.sizes.stand / c.back.length)
    reach = c.neck.length / 3
    sketch.mark(
        "roll line of the collar",
        MarkKind.ROLL_LINE,
        Path.cubic(
            c.roll_neck,
            c.roll_neck + (c.roll_top - c.roll_neck) * (1 / 3),
            end - c.neck.end_tangent * reach,
            end,
        ),
    )
    top = c.break_point.y + (c.roll_neck.y - c.break_point.y) * (
        plan.sizes.extension / (plan.sizes.extension + c.roll_neck.x)
    )
    sketch.mark("centre front", MarkKind.CENTRE_LINE, Path.line(Point(0.0, 0.0), Point(0.0, top)))
    y = 0.4 * plan.bodice.proportions.bust_line
    x = min(front.waist_side.x, front.bust_side.x) - 12
    if not front.waist_darts:
        sketch.mark("lengthen", MarkKind.LENGTHEN, Path.line(Point(8.0, y), Point(x, y)))
    _mark_buttons(plan, sketch)


def _mark_buttons(plan: DressPlan, sketch: Sketch) -> None:
    for y in bodice_buttons(plan):
        button(plan, sketch, y)


def button(plan: DressPlan, sketch: Sketch, y: float) -> None:
    """A button on the centre front and its hole, which begins 3 mm beyond it towards the edge."""
    d = plan.house["button_diameter"]
    hole = Path.line(Point(-3.0, y), Point(d, y))
    sketch.mark("buttonhole (right front)", MarkKind.BUTTONHOLE, hole)
    dot = Path.line(Point(0.0, y - 1.5), Point(0.0, y + 1.5))
    sketch.mark("button (left front)", MarkKind.BUTTON, dot)


def bodice_buttons(plan: DressPlan) -> list[float]:
    """Heights of the bodice's buttons: the first at the break, the others evenly down to above the waist."""
    top = plan.collar.break_point.y
    lowest = min(plan.house["button_diameter"] / 2 + 8.0, top)
    count = 1 + int((top - lowest) / plan.house["button_spacing"] + 0.999)
    # Two buttonholes closer than this would be one weak place (common practice, no source).
    closest = max(2 * plan.house["button_diameter"], 25.0)
    if count < 2 or top - lowest < closest:
        return [top]
    count = min(count, 1 + int((top - lowest) / closest))
    return [top - (top - lowest) * i / (count - 1) for i in range(count)]


def front_facing(plan: DressPlan, lines: FrontLines) -> Sketch:
    """The facing that carries lapel and collar: what is seen of them once turned."""
    seam = plan.house["seam_allowance"]
    free = seam if plan.lining != "none" else plan.house["enclosed_allowance"]
    sketch = Sketch(
        "front facing",
        [
            Stroke("waist extension", lines.extension, EdgeKind.SEAM, seam),
            Stroke("waist centre", lines.waist_centre, EdgeKind.SEAM, seam),
            Stroke("facing inner", lines.inner, _free_kind(plan), free),
            Stroke("facing shoulder", lines.shoulder_faced, EdgeKind.SEAM, seam),
            *_collar_strokes(plan),
        ],
        (PAIR, Cut("interfacing", 2, mirrored=True)),
        _grain(lines.waist_centre.end.x * 0.3, 0.1, 0.5, plan.bodice.front.neck.y),
        is_front=True,
    )
    sketch.mark("roll line", MarkKind.ROLL_LINE, Path.line(plan.collar.break_point, plan.collar.roll_neck))
    return sketch


def _free_kind(plan: DressPlan) -> EdgeKind:
    """A free edge is turned or neatened like a hem; with a lining it is a seam."""
    return EdgeKind.SEAM if plan.lining != "none" else EdgeKind.HEM


def _centre_back(plan: DressPlan, path: Path) -> Stroke:
    if plan.zip_closure:
        return Stroke("centre back", path, EdgeKind.OPENING, plan.house["zip_allowance"])
    return Stroke("centre back", path, EdgeKind.FOLD, 0.0)


def back_cuts(plan: DressPlan, cloth: str = "shell") -> Cut:
    """Two backs with a zip between, or one on the fold."""
    return Cut(cloth, 2, mirrored=True) if plan.zip_closure else Cut(cloth, 1, on_fold=True)


def back_bodice(plan: DressPlan) -> Sketch:
    house, back = plan.house, plan.bodice.back
    seam = house["seam_allowance"]
    first = "waist centre" if back.waist_darts else "waist side"
    waist, darts = _waist_strokes(back, seam, [Stroke(first, back.waist.panels[0], EdgeKind.SEAM, seam)])
    side, _ = _side_strokes(back, house["side_allowance"])
    nape = plan.back_neck.end
    sketch = Sketch(
        "back bodice",
        [
            *waist,
            *side,
            Stroke("armhole", back.armhole, EdgeKind.SEAM, house["enclosed_allowance"]),
            Stroke("shoulder", back.shoulder, EdgeKind.SEAM, seam),
            Stroke("neck", plan.back_neck, EdgeKind.SEAM, house["enclosed_allowance"]),
            _centre_back(plan, Path.line(nape, back.waist.panels[0].start)),
        ],
        (back_cuts(plan),),
        _grain(0.2 * back.underarm.x, 0.15, 0.75, nape.y),
        darts=darts,
    )
    sketch.notch("armhole", back.armhole_notch, 2)
    return sketch


def back_neck_facing(plan: DressPlan) -> Sketch:
    house = plan.house
    seam, back = house["seam_allowance"], plan.bodice.back
    faced, _ = back.shoulder.split_at(plan.faced_shoulder)
    inner = back_facing_inner(plan)
    nape = plan.back_neck.end
    free = seam if plan.lining != "none" else house["enclosed_allowance"]
    return Sketch(
        "back neck facing",
        [
            Stroke("facing inner", inner, _free_kind(plan), free),
            Stroke("facing shoulder", faced, EdgeKind.SEAM, seam),
            Stroke("neck", plan.back_neck, EdgeKind.SEAM, house["enclosed_allowance"]),
            _centre_back(plan, Path.line(nape, inner.end)),
        ],
        (back_cuts(plan), back_cuts(plan, "interfacing")),
        (
            Point(0.25 * faced.end.x, lerp(inner.end, nape, 0.12).y),
            Point(0.25 * faced.end.x, lerp(inner.end, nape, 0.92).y),
        ),
    )


def back_facing_inner(plan: DressPlan) -> Path:
    """From the shoulder to the centre back, square to both."""
    back = plan.bodice.back
    start = back.shoulder.point_at(plan.faced_shoulder)
    nape = plan.back_neck.end
    wished = max(1.1 * plan.faced_shoulder, nape.y - start.y + 0.75 * plan.faced_shoulder)
    depth = max(wished, _LEAST_BACK_FACING)
    end = Point(0.0, nape.y - depth)
    down = -perpendicular(back.shoulder.start_tangent)
    return Path.cubic(start, start + down * (0.6 * (start.y - end.y)), Point(0.55 * start.x, end.y), end)


def waist_names(sketch: Sketch, *skipped: str) -> tuple[str, ...]:
    """The waist's edges from the centre outward."""
    names = (stroke.name for stroke in sketch.strokes if stroke.name.startswith("waist"))
    return tuple(name for name in names if "dart" not in name and name not in skipped)


def side_names(sketch: Sketch) -> tuple[str, ...]:
    """The side's edges downward."""
    names = [stroke.name for stroke in sketch.strokes if stroke.name.startswith("side")]
    return tuple(names[::-1])


def armhole_facing(plan: DressPlan, panel: Panel, name: str, *, is_front: bool) -> Sketch:
    """A facing that follows the armhole; it finishes a sleeveless armhole without lining."""
    house = plan.house
    on_side = min(plan.facing_width, 0.8 * plan.bodice.front.sides[0].length)
    on_shoulder = min(plan.facing_width, 0.42 * plan.bodice.front.shoulder.length)
    shoulder = panel.shoulder.split_at(panel.shoulder.length - on_shoulder)[1]
    side = panel.sides[0].split_at(on_side)[0]
    inner = faced_curve(panel.armhole, shoulder.start, side.end, perpendicular(side.end_tangent))
    seam, enclosed = house["seam_allowance"], house["enclosed_allowance"]
    middle = lerp(panel.armhole.point_at(panel.armhole_notch), inner.point_at(inner.length * 0.45), 0.5)
    reach = 0.12 * (panel.neck.y - panel.underarm.y)
    sketch = Sketch(
        name,
        [
            Stroke("facing side", side, EdgeKind.SEAM, seam),
            Stroke("armhole", panel.armhole, EdgeKind.SEAM, enclosed),
            Stroke("facing shoulder", shoulder, EdgeKind.SEAM, seam),
            Stroke("facing inner", inner, EdgeKind.HEM, enclosed),
        ],
        (PAIR,),
        (middle - Point(0.0, reach), middle + Point(0.0, reach)),
        is_front=is_front,
    )
    sketch.notch("armhole", panel.armhole_notch, 1 if is_front else 2)
    return sketch


def front_lining(plan: DressPlan, lines: FrontLines) -> Sketch:
    """The front without what the facing covers."""
    house, front = plan.house, plan.bodice.front
    seam = house["seam_allowance"]
    waist, darts = _waist_strokes(
        front, seam, [Stroke("waist front", lines.waist_front, EdgeKind.SEAM, seam)]
    )
    side, more = _side_strokes(front, house["side_allowance"])
    sketch = Sketch(
        "front bodice lining",
        [
            *waist,
            *side,
            Stroke("armhole", front.armhole, EdgeKind.SEAM, house["enclosed_allowance"]),
            Stroke("shoulder rest", lines.shoulder_rest, EdgeKind.SEAM, seam),
            Stroke("facing join", lines.inner, EdgeKind.SEAM, seam),
        ],
        (Cut("lining", 2, mirrored=True),),
        _grain(0.5 * (lines.inner.end.x + front.underarm.x), 0.35, 0.6, front.underarm.y),
        is_front=True,
        darts=[*darts, *more],
    )
    sketch.notch("armhole", front.armhole_notch)
    return sketch


def back_lining(plan: DressPlan) -> Sketch:
    """The back without what the neck facing covers."""
    house, back = plan.house, plan.bodice.back
    seam = house["seam_allowance"]
    first = "waist centre" if back.waist_darts else "waist side"
    waist, darts = _waist_strokes(back, seam, [Stroke(first, back.waist.panels[0], EdgeKind.SEAM, seam)])
    side, _ = _side_strokes(back, house["side_allowance"])
    inner = back_facing_inner(plan)
    rest = back.shoulder.split_at(plan.faced_shoulder)[1]
    sketch = Sketch(
        "back bodice lining",
        [
            *waist,
            *side,
            Stroke("armhole", back.armhole, EdgeKind.SEAM, house["enclosed_allowance"]),
            Stroke("shoulder rest", rest, EdgeKind.SEAM, seam),
            Stroke("facing join", inner, EdgeKind.SEAM, seam),
            _centre_back(plan, Path.line(inner.end, back.waist.panels[0].start)),
        ],
        (back_cuts(plan, "lining"),),
        _grain(0.2 * back.underarm.x, 0.15, 0.6, inner.end.y),
        darts=darts,
    )
    sketch.notch("armhole", back.armhole_notch, 2)
    return sketch
