"""What collars with lapels share: choices and sizes, how they stay on the front, and their facings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import ceil

from drafting.blocks.centre import Centre, centre_strokes
from drafting.blocks.rules import neck_width_for, proportion
from drafting.blocks.sketch import Sketch, Stroke
from drafting.body import Body
from drafting.details.collar import CollarSizes, NotchedCollar, folded, notched_collar
from drafting.details.facing import front_inner_edge
from drafting.errors import BadChoice
from drafting.geometry import Path, Point, lerp, perpendicular
from drafting.making import Making, run
from drafting.pattern import Cut, EdgeKind, MarkKind
from drafting.styles.choices import Choice

Turned = Callable[[NotchedCollar], Sequence[Point]]
SMALL_CHILD_YEARS = 7.0
SMALL_CHILD_STATURE = 1220.0  # mm, where nobody said the age
_LEAST_BACK_FACING = 20.0  # mm at the centre back: less cannot be turned (common practice, no source)
_BY_HOUSE = "Left empty, or 0, it follows the house rule, in proportion to the wearer."

CHOICES = (
    Choice(
        "break_point",
        "Where the lapel breaks",
        "option",
        "armhole line",
        (
            ("armhole line", "at the armhole line"),
            ("half-way", "half-way to the waist"),
            ("waist", "just above the waist"),
        ),
        help="The lower it breaks, the deeper the front is open.",
    ),
    Choice("lapel_width", "Lapel width", "length", 0.0, low=25.0, high=160.0, help=_BY_HOUSE),
    Choice("collar_width", "Collar width at the back", "length", 0.0, low=30.0, high=120.0, help=_BY_HOUSE),
    Choice("notch_width", "Notch", "length", 0.0, low=8.0, high=60.0, help=_BY_HOUSE),
)


def is_small_child(body: Body) -> bool:
    """Under seven years; where nobody said the age, under 1.22 m."""
    if body.age_years is None:
        return body["stature"] < SMALL_CHILD_STATURE
    return body.age_years < SMALL_CHILD_YEARS


def neck_share(making: Making) -> float:
    """How far lapel, collar and facings shrink with a child's neck: 1 for a neck of an adult."""
    body = making.body
    return proportion(neck_width_for(body["armscye_depth"], body["neck_base_girth"], making.house))


def collar_sizes(making: Making) -> CollarSizes:
    """The sizes chosen, or the house's in proportion. Raises: BadChoice."""
    house, share = making.house, neck_share(making)
    stand = house["stand_child"] if is_small_child(making.body) else house["stand"] * share
    width = making.length("collar_width", house["collar_width"] * share)
    if width < stand + 15:
        raise BadChoice(
            f"a collar {width:.0f} mm wide does not cover its stand of {stand:.0f} mm; make it at least "
            f"{ceil(stand + 15):d} mm wide",
            field="collar_width",
        )
    return CollarSizes(
        extension=making.centre("front").extension,
        stand=stand,
        width=width,
        slant=house["collar_slant"] * share,
        notch=making.length("notch_width", house["notch_width"] * share),
        lapel=making.length("lapel_width", house["lapel_width"] * share),
        gorge=making.shell("front").path("shoulder").start.x,
    )


def lapel_collar(making: Making, sizes: CollarSizes, turned: Turned = folded) -> NotchedCollar:
    """The collar's lines on this front; ``turned`` is how its lapel lies once turned over.

    Raises: BadChoice where that leaves the front; CannotDraft.
    """
    front = making.shell("front")
    armhole_line = front.path("armhole").end.y
    lowest = min(making.house["waist_break_rise"], 0.2 * armhole_line)
    heights = {"armhole line": armhole_line, "half-way": armhole_line / 2, "waist": lowest}
    at = Point(-sizes.extension, heights[making.chosen("break_point")])
    shoulder = front.path("shoulder")
    back_neck = making.run_length(making.lines["back neck"])
    collar = notched_collar(at, shoulder.start, shoulder.start_tangent, back_neck, sizes)
    beyond = _beyond_front(turned(collar), making)
    if beyond > 0:
        raise BadChoice(
            f"turned over, the lapel would reach {beyond:.0f} mm beyond the front: choose a lapel at least "
            f"{beyond:.0f} mm narrower, or a lower break",
            field="lapel_width" if making.length("lapel_width", 0.0) else "break_point",
        )
    return collar


def _beyond_front(lapel: Sequence[Point], making: Making) -> float:
    """How far, mm, the turned lapel passes the shoulder or, less 5, the armhole and side; negative within."""
    front = making.shell("front")
    shoulder, side = front.path("shoulder"), making.lines["front side"][-1]
    edge = (*front.path("armhole").flatten(1.0), front.path(side.edge).end)
    tip, slope = shoulder.end, shoulder.start_tangent
    worst = -1e9
    for point in lapel:
        worst = max(worst, point.x - _outermost(edge, point.y) + 5)
        if point.x > shoulder.start.x:
            worst = max(worst, (point.y - tip.y) - (point.x - tip.x) * slope.y / slope.x)
    return worst


def _outermost(edge: Sequence[Point], y: float) -> float:
    """The least x of a line of points within 6 mm of a height; that of its ends beyond them."""
    level = min(max(y, edge[-1].y), edge[0].y)
    xs = [q.x for q in edge if abs(q.y - level) <= 6]
    for a, b in pairwise(edge):
        if min(a.y, b.y) <= level <= max(a.y, b.y):
            xs.append(a.x + (b.x - a.x) * ((level - a.y) / (b.y - a.y) if b.y != a.y else 0.0))
    return min(xs)


def _faced_shoulder(making: Making) -> float:
    """Shoulder seam of the neck facings, mm."""
    wished = making.house["facing_width"] * neck_share(making)
    return min(wished, 0.42 * making.shell("front").path("shoulder").length)


def _part_waist(making: Making) -> Path:
    """Part the front's waist where the facing ends; return the faced part, from the centre outward."""
    front = making.shell("front")
    first = making.lines["front waist"][0]
    waist = front.path(first.edge)
    width = min(making.house["front_facing_width"] * neck_share(making), 0.72 * waist.length)
    centre, rest = waist.split_at(width)
    outer = "waist front" if first.edge == "waist centre" else first.edge
    allowance = front.stroke(first.edge).allowance
    front.put(
        first.edge,
        Stroke("waist centre", centre, EdgeKind.SEAM, allowance),
        Stroke(outer, rest, EdgeKind.SEAM, allowance),
    )
    making.renamed(first, run(front.name, "waist centre", outer))
    return centre


def front_facing(making: Making, collar: NotchedCollar, strokes: Sequence[Stroke]) -> None:
    """Add the facing that carries the lapel, from the shoulder to the waist.

    ``strokes`` run from the neck point round the lapel to the waist's front corner.
    """
    front, house = making.shell("front"), making.house
    centre = _part_waist(making)
    shoulder = front.path("shoulder").split_at(_faced_shoulder(making))[0]
    inner = front_inner_edge(
        shoulder.end, -perpendicular(shoulder.start_tangent), centre.end, -perpendicular(centre.end_tangent)
    )
    seam, x, height = house["seam_allowance"], 0.3 * centre.end.x, shoulder.start.y
    sketch = Sketch(
        "front facing",
        [
            front.stroke("waist extension"),
            Stroke("waist centre", centre, EdgeKind.SEAM, seam),
            Stroke("facing inner", inner, EdgeKind.HEM, house["enclosed_allowance"]),
            Stroke("facing shoulder", shoulder, EdgeKind.SEAM, seam),
            *strokes,
        ],
        (Cut("shell", 2, mirrored=True), Cut("interfacing", 2, mirrored=True)),
        (Point(x, 0.1 * height), Point(x, 0.5 * height)),
        is_front=True,
    )
    sketch.mark("roll line", MarkKind.ROLL_LINE, Path.line(collar.break_point, collar.roll_neck))
    making.add(sketch)
    making.lines["front facing inner"] = run(sketch.name, "facing inner")


def back_neck_facing(making: Making) -> None:
    """Add the facing of the back neck."""
    back, house = making.shell("back"), making.house
    seam, centre = house["seam_allowance"], making.centre("back")
    shoulder = back.path("shoulder").split_at(_faced_shoulder(making))[0]
    neck = back.path("neck")
    inner = _back_inner(shoulder, neck.end)
    x = 0.25 * shoulder.end.x
    sketch = Sketch(
        "back neck facing",
        [
            Stroke("facing inner", inner, EdgeKind.HEM, house["enclosed_allowance"]),
            Stroke("facing shoulder", shoulder, EdgeKind.SEAM, seam),
            Stroke("neck", neck, EdgeKind.SEAM, house["enclosed_allowance"]),
            *centre_strokes(centre, "back", neck.end, inner.end, house),
        ],
        (centre.cut(), centre.cut("interfacing")),
        (Point(x, lerp(inner.end, neck.end, 0.12).y), Point(x, lerp(inner.end, neck.end, 0.92).y)),
    )
    making.add(sketch)
    making.lines["back facing inner"] = run(sketch.name, "facing inner")


def _back_inner(shoulder: Path, nape: Point) -> Path:
    """From the shoulder to the centre back, square to both."""
    start, width = shoulder.end, shoulder.length
    wished = max(1.1 * width, nape.y - start.y + 0.75 * width)
    end = Point(0.0, nape.y - max(wished, _LEAST_BACK_FACING))
    down = -perpendicular(shoulder.start_tangent)
    return Path.cubic(start, start + down * (0.6 * (start.y - end.y)), Point(0.55 * start.x, end.y), end)


def reshape_front(making: Making, collar: NotchedCollar, strokes: Sequence[Stroke]) -> None:
    """Put these strokes in the place of the front's neckline and edge, and mark the centre and the roll."""
    front = making.shell("front")
    front.put("neck", *strokes)
    last = front.strokes.index(strokes[-1])
    del front.strokes[last + 1 : last + 3]  # the plain neck extension and front edge
    del making.lines["front neck"]
    top = collar.break_point.y + (collar.roll_neck.y - collar.break_point.y) * (
        -collar.break_point.x / (collar.roll_neck.x - collar.break_point.x)
    )
    front.mark("centre front", MarkKind.CENTRE_LINE, Path.line(Point(0.0, 0.0), Point(0.0, top)))
    front.mark("roll line", MarkKind.ROLL_LINE, Path.line(collar.break_point, collar.roll_neck))


def front_edge(making: Making, collar: NotchedCollar) -> Path:
    """From the break down to the waist's front corner."""
    return Path.line(collar.break_point, making.shell("front").path("waist extension").start)


def lapped(making: Making) -> Centre:
    """The centre of a front that laps over, its extension in proportion to the wearer.

    Source: half the button's diameter + 1/4 in, or 3/4 of it: buttonhole standards of sewing textbooks.
    """
    diameter = making.house["button_diameter"]
    need = min(diameter / 2 + 6.35, 0.75 * diameter)
    wished = making.house["button_extension"] * max(neck_share(making), 0.75)
    return Centre("buttons", extension=max(need, wished))
