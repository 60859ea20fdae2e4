"""A notched collar grown on to the front: lapel and collar in one piece with it, turned over a roll line.

Frame: that of the front's sketch, x from the centre front outward; lapel and collar stand where x falls.
Source of the proportions: common practice, no source; check values in tests/checks.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, ceil, cos, floor, radians, sin

from drafting.errors import BadChoice, CannotDraft
from drafting.geometry import Cubic, Path, Point, distance, lerp, mirrored, perpendicular, rotated, unit

_GORGE = 0.8  # of the front neck depth below the roll line's neck point: height of the notch
_TOP_SHARE = 1.2  # the lapel's top edge, in notches
_LEAST_LAPEL = 0.22  # of the lapel's width: from the roll line to the inner corner of the notch
_NOTCH_DEG = 64.0  # opening of the notch
_TOP_RISE_DEG = 4.0  # the lapel's top edge rises a little to its point
_BELLY = 0.045  # of the lapel's edge: how far it bows outward


@dataclass(frozen=True, slots=True)
class CollarSizes:
    """Widths of a grown-on collar, mm."""

    extension: float
    stand: float  # the roll line passes this far beyond the neck point
    width: float  # at the centre back, neck seam to outer edge
    slant: float
    notch: float
    lapel: float  # square to the roll line
    gorge: float  # front neck depth


@dataclass(frozen=True, slots=True)
class NotchedCollar:
    """The outline from the neck point to the waist's front edge, and the roll line."""

    break_point: Point
    roll_neck: Point  # where the roll line passes the neck point
    roll_top: Point  # carried on by the back neck length
    neck: Path  # neck point to centre back
    back: Path  # centre back, neck seam outward
    edge: Path  # centre back to the collar's point
    notch: Path
    lapel_top: Path
    lapel: Path  # lapel's point to the break point

    @property
    def lapel_point(self) -> Point:
        return self.lapel.start


def roll_line(
    break_point: Point, neck: Point, along: Point, stand: float, back_neck: float
) -> tuple[Point, Point]:
    """Return where the roll line passes the neck point, and its top, the back neck length higher.

    ``along`` is the shoulder line's unit direction, outward: the line passes ``stand`` beyond the neck point
    on the shoulder line run on (3/4 in; 1/2 for small children).
    """
    passing = neck - along * stand
    return passing, passing + unit(passing - break_point) * back_neck


def collar_slant_angle(width: float, slant: float) -> float:
    """The turn, radians, that raises the outer end of a centre back ``width`` wide by ``slant``."""
    return atan2(slant, width)


def notched_collar(
    break_point: Point, neck: Point, shoulder_along: Point, back_neck: float, sizes: CollarSizes
) -> NotchedCollar:
    """Return the collar whose neck edge is exactly as long as the back neck it is sewn to.

    Raises: BadChoice where the notch leaves no lapel; CannotDraft where the break lies at the neck.
    """
    if neck.y - break_point.y < 2 * sizes.stand + sizes.gorge:
        raise CannotDraft("the lapel would break above the neck; choose a lower break", field="break_point")
    passing, top = roll_line(break_point, neck, shoulder_along, sizes.stand, back_neck)
    up = unit(passing - break_point)
    turn = collar_slant_angle(sizes.width, sizes.slant)
    edge_neck = _neck_edge(neck, up, turn, back_neck)
    leaning = rotated(up, -turn, Point(0.0, 0.0))
    outer = edge_neck.end + perpendicular(leaning) * sizes.width
    inner, collar_point, lapel_point = _notch(passing, up, sizes)
    return NotchedCollar(
        break_point,
        passing,
        top,
        edge_neck,
        Path.line(edge_neck.end, outer),
        _collar_edge(outer, leaning, collar_point, up),
        Path.line(collar_point, inner),
        Path.line(inner, lapel_point),
        _lapel_edge(lapel_point, break_point, perpendicular(up)),
    )


def _neck_edge(neck: Point, up: Point, turn: float, length: float) -> Path:
    """An even bend from the roll line's direction to square with the centre back, of exactly this length."""
    origin = Point(0.0, 0.0)
    end = rotated(up, -turn / 2, origin)
    shape = Cubic(origin, up * (1 / 3), end - rotated(up, -turn, origin) * (1 / 3), end)
    scale = length / shape.length
    return Path((shape.mapped(lambda p: neck + p * scale),))


def _notch(passing: Point, up: Point, sizes: CollarSizes) -> tuple[Point, Point, Point]:
    """Inner corner of the notch, the collar's point, the lapel's point."""
    out = perpendicular(up)
    top = _TOP_SHARE * sizes.notch
    level = top * cos(radians(_TOP_RISE_DEG))
    inner_at = sizes.lapel - level
    if inner_at < _LEAST_LAPEL * sizes.lapel:
        widest = sizes.notch * (1 - _LEAST_LAPEL) * sizes.lapel / level
        raise BadChoice(
            f"a notch of {sizes.notch:.0f} mm leaves too little of a lapel {sizes.lapel:.0f} mm wide: this "
            f"lapel takes a notch of at most {floor(widest):d} mm, this notch a lapel of at least "
            f"{ceil(level / (1 - _LEAST_LAPEL)):d} mm",
            field="notch_width",
        )
    inner = passing - up * (_GORGE * sizes.gorge) + out * inner_at
    rise, opening = radians(_TOP_RISE_DEG), radians(_TOP_RISE_DEG + _NOTCH_DEG)
    lapel_point = inner + (out * cos(rise) + up * sin(rise)) * top
    collar_point = inner + (out * cos(opening) + up * sin(opening)) * sizes.notch
    return inner, collar_point, lapel_point


def _collar_edge(outer: Point, leaning: Point, collar_point: Point, up: Point) -> Path:
    reach = distance(outer, collar_point) / 3
    arriving = unit(-up + perpendicular(up) * 0.12)
    return Path((Cubic(outer, outer - leaning * reach, collar_point - arriving * reach, collar_point),))


def _lapel_edge(point: Point, break_point: Point, out: Point) -> Path:
    """From the lapel's point down to the break, bowed a little outward."""
    bow = out * (_BELLY * distance(point, break_point) * 4 / 3)
    return Path(
        (Cubic(point, lerp(point, break_point, 0.3) + bow, lerp(point, break_point, 0.7) + bow, break_point),)
    )


def folded(collar: NotchedCollar) -> tuple[Point, ...]:
    """Lapel, notch and the lapel's top edge as they lie on the front once turned over the roll line."""
    paths = (collar.notch, collar.lapel_top, collar.lapel)
    return tuple(
        mirrored(point, collar.break_point, collar.roll_neck) for path in paths for point in path.flatten(0.5)
    )
