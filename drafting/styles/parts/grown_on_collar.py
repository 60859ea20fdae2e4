"""A notched collar grown on to a lapped front: lapel and collar in one piece with it, and their facings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from drafting.blocks.rules import neck_width_for, proportion
from drafting.blocks.sketch import Sketch, Stroke
from drafting.body import Body
from drafting.details.collar import CollarSizes, NotchedCollar, folded, notched_collar
from drafting.details.facing import front_inner_edge
from drafting.errors import BadChoice
from drafting.geometry import Path, Point, lerp, perpendicular
from drafting.making import Centre, Corner, Making, Phase, Run, centre_strokes, run
from drafting.pattern import Cut, EdgeKind, Finished, MarkKind, Method
from drafting.styles.choices import Choice, Clash

SMALL_CHILD_YEARS = 7.0
SMALL_CHILD_STATURE = 1220.0  # mm, where nobody said the age
COLLAR_EDGES = ("collar edge", "collar notch", "lapel top", "lapel edge")
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


@dataclass(frozen=True, slots=True)
class GrownOnCollar:
    """Reshapes the lapped front above its break; comes after the upper, in the place of neckline and collar.

    ``choices`` are where the lapel breaks and the widths of lapel, collar and notch.
    """

    choices: tuple[Choice, ...] = CHOICES
    needs: tuple[str, ...] = ("stature", "neck_base_girth", "armscye_depth")
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Draw collar, lapel and facings, and sew them. Raises: CannotDraft, BadChoice."""
        front = making.shell("front")
        sizes = _sizes(making)
        collar = _collar(making, sizes)
        _reshape(making, collar)
        _mark_rolls(front, collar, sizes)
        making.roll_lines.append(
            front.roll_line(collar.break_point, collar.roll_neck, ("collar notch", "lapel top", "lapel edge"))
        )
        _front_facing(making, collar)
        _back_neck_facing(making)
        _sew(making)
        _measure(making, collar, sizes)


def is_small_child(body: Body) -> bool:
    """Under seven years; where nobody said the age, under 1.22 m."""
    if body.age_years is None:
        return body["stature"] < SMALL_CHILD_STATURE
    return body.age_years < SMALL_CHILD_YEARS


def neck_share(making: Making) -> float:
    """How far lapel, collar and facings shrink with a child's neck: 1 for a neck of an adult."""
    body = making.body
    return proportion(neck_width_for(body["armscye_depth"], body["neck_base_girth"], making.house))


def _sizes(making: Making) -> CollarSizes:
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


def _collar(making: Making, sizes: CollarSizes) -> NotchedCollar:
    front = making.shell("front")
    armhole_line = front.path("armhole").end.y
    lowest = min(making.house["waist_break_rise"], 0.2 * armhole_line)
    heights = {"armhole line": armhole_line, "half-way": armhole_line / 2, "waist": lowest}
    at = Point(-sizes.extension, heights[making.chosen("break_point")])
    shoulder = front.path("shoulder")
    back_neck = making.run_length(making.lines["back neck"])
    collar = notched_collar(at, shoulder.start, shoulder.start_tangent, back_neck, sizes)
    beyond = _beyond_front(collar, making)
    if beyond > 0:
        raise BadChoice(
            f"turned over, the lapel would reach {beyond:.0f} mm beyond the front: choose a lapel at least "
            f"{beyond:.0f} mm narrower, or a lower break",
            field="lapel_width" if making.length("lapel_width", 0.0) else "break_point",
        )
    return collar


def _beyond_front(collar: NotchedCollar, making: Making) -> float:
    """How far, mm, the turned lapel passes the shoulder or, less 5, the armhole and side; negative within."""
    front = making.shell("front")
    shoulder, side = front.path("shoulder"), making.lines["front side"][-1]
    edge = (*front.path("armhole").flatten(1.0), front.path(side.edge).end)
    tip, slope = shoulder.end, shoulder.start_tangent
    worst = -1e9
    for point in folded(collar):
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


def _collar_strokes(making: Making, collar: NotchedCollar) -> list[Stroke]:
    """From the neck point round collar and lapel to the waist's front corner."""
    enclosed = making.house["enclosed_allowance"]
    foot = making.shell("front").path("waist extension").start
    parted = making.centre("back").halved
    at_back = enclosed if parted else making.house["seam_allowance"]
    lines = (
        ("collar neck", collar.neck, enclosed),
        ("collar back", collar.back, at_back),
        ("collar edge", collar.edge, enclosed),
        ("collar notch", collar.notch, enclosed),
        ("lapel top", collar.lapel_top, enclosed),
        ("lapel edge", collar.lapel, enclosed),
        ("front edge", Path.line(collar.break_point, foot), enclosed),
    )
    return [Stroke(name, path, EdgeKind.SEAM, allowance) for name, path, allowance in lines]


def _reshape(making: Making, collar: NotchedCollar) -> None:
    """Put collar and lapel in the place of the front's neckline and edge."""
    front = making.shell("front")
    strokes = _collar_strokes(making, collar)
    front.put("neck", *strokes)
    last = front.strokes.index(strokes[-1])
    del front.strokes[last + 1 : last + 3]  # the plain neck extension and front edge
    del making.lines["front neck"]
    top = collar.break_point.y + (collar.roll_neck.y - collar.break_point.y) * (
        -collar.break_point.x / (collar.roll_neck.x - collar.break_point.x)
    )
    front.mark("centre front", MarkKind.CENTRE_LINE, Path.line(Point(0.0, 0.0), Point(0.0, top)))


def _mark_rolls(front: Sketch, collar: NotchedCollar, sizes: CollarSizes) -> None:
    front.mark("roll line", MarkKind.ROLL_LINE, Path.line(collar.break_point, collar.roll_neck))
    end = collar.neck.end + (collar.back.end - collar.back.start) * (sizes.stand / collar.back.length)
    path = Path.cubic(
        collar.roll_neck,
        collar.roll_neck + (collar.roll_top - collar.roll_neck) * (1 / 3),
        end - collar.neck.end_tangent * (collar.neck.length / 3),
        end,
    )
    front.mark("roll line of the collar", MarkKind.ROLL_LINE, path)


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


def _front_facing(making: Making, collar: NotchedCollar) -> None:
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
            *_collar_strokes(making, collar),
        ],
        (Cut("shell", 2, mirrored=True), Cut("interfacing", 2, mirrored=True)),
        (Point(x, 0.1 * height), Point(x, 0.5 * height)),
        is_front=True,
    )
    sketch.mark("roll line", MarkKind.ROLL_LINE, Path.line(collar.break_point, collar.roll_neck))
    making.add(sketch)
    making.lines["front facing inner"] = run(sketch.name, "facing inner")


def _back_neck_facing(making: Making) -> None:
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


def _sew(making: Making) -> None:
    """Collar to back neck, facing to facing, then round collar, lapel and front."""
    shell, facing, back = making.shells["front"], "front facing", "back neck facing"
    both = (shell, facing)
    if making.centre("back").halved:
        making.sew(Phase.NECK, "end of the collar", *_pair(making, "collar back"), Method.ENCLOSED)
    else:
        for piece, name in zip(both, ("the collar", "the facing's collar"), strict=True):
            line = run(piece, "collar back")
            making.sew(Phase.FACINGS, f"centre back of {name}", line, line, times=1)
    making.sew(
        Phase.FACINGS,
        "shoulder of the facings",
        run(facing, "facing shoulder"),
        run(back, "facing shoulder"),
    )
    making.sew(
        Phase.FACINGS, "facing's collar to back neck facing", run(facing, "collar neck"), run(back, "neck")
    )
    making.sew(Phase.NECK, "collar to back neck", run(shell, "collar neck"), making.lines["back neck"])
    for edge in COLLAR_EDGES:
        making.sew(Phase.NECK, edge, *_pair(making, edge), Method.ENCLOSED)
    making.sew(Phase.NECK, "front edge", *_pair(making, "front edge"), Method.FACED)
    stand = _pair(making, "waist extension", "waist centre")
    making.sew(Phase.WAIST, "facing at the waist", *stand, Method.LINED)
    making.square("back neck at the centre back", _at_centre_back(making))
    making.square("collar's outer edge at the centre back", Corner(shell, "collar edge", "collar back"))
    making.square("collar's neck edge at the centre back", Corner(shell, "collar neck", "collar back"))
    making.smooth(
        "free edge of the neck facings at the shoulder",
        *(Corner(piece, "facing inner", "facing shoulder") for piece in (facing, back)),
    )
    _note(making)


def _pair(making: Making, *edges: str) -> tuple[Run, Run]:
    """The same edges of the front and of its facing."""
    return run(making.shells["front"], *edges), run("front facing", *edges)


def _at_centre_back(making: Making) -> Corner:
    return Corner(making.shells["back"], "neck", "centre back")


def _note(making: Making) -> None:
    making.note(
        Phase.DARTS,
        "Before cutting: interface both front facings and the back neck facing; mark roll lines, centre "
        "lines and darts on both halves.",
    )
    making.note(
        Phase.SHOULDERS,
        "Sew the shoulder seams as far as the neck point and no further; clip the front's inner corner at "
        "the neck point to the stitching.",
    )
    if making.centre("back").halved:
        making.note(
            Phase.NECK,
            "Sew the collar's neck edge to the back neck, shell to shell and facing to facing. The collar is "
            "parted at the centre back: close each end, shell to facing; set a hook and eye above the zip.",
        )
    else:
        making.note(
            Phase.NECK,
            "Join the collar at the centre back, shell and facing each; then sew its neck edge to the back "
            "neck, shell to shell and facing to facing.",
        )
    making.note(
        Phase.NECK,
        "Round collar and lapel: sew shell to facing from the centre back to the front edge, pivot at the "
        "inner corner of the notch and clip it; grade, turn and press so that the seam rolls under: towards "
        "the shell above the break, towards the facing below it. Steam the collar over a rolled towel along "
        "the roll line; do not press the roll flat.",
    )
    if making.chosen("break_point") == "waist":
        making.note(
            Phase.HEM,
            "The front is open deep below the neck: wear it over a blouse, or sew in a modesty piece.",
        )


def _measure(making: Making, collar: NotchedCollar, sizes: CollarSizes) -> None:
    start, end = collar.break_point, collar.roll_neck
    crossing = start.y + (end.y - start.y) * (0.0 - start.x) / (end.x - start.x)
    neck = making.shell("front").path("shoulder").start
    making.finished += [
        Finished("front opening below the neck point", neck.y - crossing),
        Finished("collar width at the centre back", sizes.width),
        Finished("lapel width", sizes.lapel),
    ]


def lapped(making: Making) -> Centre:
    """The centre of a front that laps over, its extension in proportion to the wearer.

    Source: half the button's diameter + 1/4 in, or 3/4 of it: buttonhole standards of sewing textbooks.
    """
    diameter = making.house["button_diameter"]
    need = min(diameter / 2 + 6.35, 0.75 * diameter)
    wished = making.house["button_extension"] * max(neck_share(making), 0.75)
    return Centre("buttons", extension=max(need, wished))
