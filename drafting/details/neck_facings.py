"""What finishes a neckline inside: shaped facings and a bias strip, as sketches.

Facings lie under the front and the back as these lie on the table, so that their neck edges are the same
lines. Widths come from the house; shares and least widths are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, pi, sin

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.facing import faced_curve, front_inner_edge
from drafting.geometry import Cubic, Line, Path, Point, distance, lerp, perpendicular
from drafting.pattern import Cut, EdgeKind

_SHOULDER_SHARE = 0.45  # of the shoulder seam: the rest is left to an armhole's facing
_KAPPA = 0.55  # a quarter circle as a cubic
_LEAST = 14.0  # mm at the centre: less cannot be turned
_BOXED = 0.35  # rad; a neckline that turns more than this at one point is boxed, like a square one
_BESIDE = 0.7  # of its width at the shoulder, that a facing to the lower edge keeps beside the neckline
_SAMPLES = 16
_SLANTING = 0.1  # a neckline that meets the centre at more than 6 degrees is a V: its free edge is one too
_GRAIN_SHARE = (0.12, 0.9)  # of the facing's width at the centre


@dataclass(frozen=True, slots=True)
class Faced:
    """A facing's lines: the faced part of the shoulder, and the free edge from the shoulder to the centre."""

    shoulder: Path
    inner: Path


def faced_shoulder(shoulder: Path, width: float) -> float:
    """How much of a shoulder seam the neck facing takes, mm."""
    return min(width, _SHOULDER_SHARE * shoulder.length)


def front_faced(neck: Path, shoulder: Path, width: float, *, on_shoulder: float, below: float = 0.0) -> Faced:
    """The facing of a front neckline, its free edge square to the shoulder.

    Args:
        neck: from the shoulder to the centre.
        shoulder: from the neckline outward.
        width: at the centre, below the neckline, mm.
        on_shoulder: along the shoulder, mm.
        below: how much further down a slit at the centre reaches, mm.
    """
    faced = shoulder.split_at(on_shoulder)[0]
    end = Point(neck.end.x, neck.end.y - below - max(width, _LEAST))
    down = -perpendicular(shoulder.start_tangent)
    if _is_boxed(neck):
        return Faced(faced, _boxed(neck.segments[0].end, faced.end, down, end, on_shoulder))
    if below > 0:
        reach = 0.75 * (faced.end.y - end.y)
        return Faced(
            faced, Path.cubic(faced.end, faced.end + down * reach, Point(0.8 * faced.end.x, end.y), end)
        )
    if neck.end_tangent.y < -_SLANTING:
        reach = 0.4 * distance(faced.end, end)
        return Faced(
            faced, Path.cubic(faced.end, faced.end + down * reach, end - neck.end_tangent * reach, end)
        )
    up = faced_curve(neck.reversed(), end, faced.end, -down)
    return Faced(faced, up.reversed())


def _boxed(corner: Point, start: Point, down: Point, end: Point, beside: float) -> Path:
    """The free edge round the corner of a square neckline: down beside it, rounded, and to the centre.

    It is rounded by less than the facing's width, so that it never reaches the corner.
    """
    turn = Point(corner.x + beside, end.y)
    radius = 0.6 * min(beside, corner.y - end.y)
    above, inward = turn + Point(0.0, radius), turn - Point(radius, 0.0)
    reach = (start.y - above.y) / 3
    return Path(
        (
            Cubic(start, start + down * reach, above + Point(0.0, reach), above),
            Cubic(above, lerp(above, turn, _KAPPA), lerp(inward, turn, _KAPPA), inward),
            Line(inward, end),
        )
    )


def _is_boxed(neck: Path) -> bool:
    tangents = [segment.tangent_at(0.5 * segment.length) for segment in neck.segments]
    return any(distance(a, b) > _BOXED for a, b in pairwise(tangents))


def back_faced(neck: Path, shoulder: Path, width: float, *, on_shoulder: float, below: float = 0.0) -> Faced:
    """The facing of a back neckline, square to the shoulder and to the centre back; ``below`` as in front."""
    faced = shoulder.split_at(on_shoulder)[0]
    start = faced.end
    depth = max(1.1 * width, neck.end.y - start.y + 0.75 * width, _LEAST) + below
    end = Point(0.0, neck.end.y - depth)
    down = -perpendicular(shoulder.start_tangent)
    inner = Path.cubic(start, start + down * (0.6 * (start.y - end.y)), Point(0.55 * start.x, end.y), end)
    return Faced(faced, inner)


def buttoned_inner(neck: Path, faced: Path, foot: Point, foot_along: Point) -> Path:
    """The free edge of a front facing that runs to the lower edge, square to shoulder and lower edge.

    Where one even curve would come too near a wide or deep neckline, it first runs down beside that.

    Args:
        neck: from the shoulder to the centre.
        faced: what the facing takes of the shoulder, outward.
        foot: where it ends on the lower edge.
        foot_along: direction of the lower edge there, outward.
    """
    down, arriving = -perpendicular(faced.start_tangent), -perpendicular(foot_along)
    plain = front_inner_edge(faced.end, down, foot, arriving)
    if _nearest(plain, neck) >= _BESIDE * faced.length:
        return plain
    start, beside = faced.end, Point(max(neck.start.x, foot.x) + faced.length, neck.end.y)
    below = Point(0.0, -1.0)
    first, second = distance(start, beside) / 3, distance(beside, foot)
    return Path(
        (
            Cubic(start, start + down * first, beside - below * first, beside),
            Cubic(beside, beside + below * (0.5 * second), foot - arriving * (0.3 * second), foot),
        )
    )


def _nearest(path: Path, other: Path) -> float:
    """How near two paths come to one another, mm, told from points spread evenly on both."""
    points = _spread(other)
    return min(distance(p, q) for p in _spread(path) for q in points)


def _spread(path: Path) -> list[Point]:
    return [path.point_at(path.length * i / _SAMPLES) for i in range(_SAMPLES + 1)]


@dataclass(frozen=True, slots=True)
class Allowances:
    """Of a facing's edges, mm."""

    seam: float
    neck: float
    free: float


def neck_facing(
    name: str,
    neck: Path,
    faced: Faced,
    centre: Sequence[Stroke],
    *,
    cuts: tuple[Cut, ...],
    widths: Allowances,
) -> Sketch:
    """A facing between the neckline, the shoulder, its free edge and the strokes of a centre (downward)."""
    top, foot = neck.end, faced.inner.end
    beside = 0.25 * (faced.shoulder.start.x - top.x)
    x = top.x + beside
    rise = beside * neck.end_tangent.y / neck.end_tangent.x  # a V's facing climbs from the centre
    low, high = (foot.y + rise + share * (top.y - foot.y) for share in _GRAIN_SHARE)
    return Sketch(
        name,
        [
            Stroke("facing inner", faced.inner.reversed(), EdgeKind.HEM, widths.free),
            Stroke("facing shoulder", faced.shoulder, EdgeKind.SEAM, widths.seam),
            Stroke("neck", neck, EdgeKind.SEAM, widths.neck),
            *centre,
        ],
        cuts,
        (Point(x, low), Point(x, high)),
        is_front=name.startswith("front"),
    )


@dataclass(frozen=True, slots=True)
class Joined:
    """Which ends of a strip are sewn to another end; the others are turned in."""

    start: bool
    end: bool


def bias_strip(name: str, length: float, width: float, *, joined: Joined, widths: Allowances) -> Sketch:
    """A strip on the bias, sewn along the neckline and turned to the inside.

    Args:
        name: of the piece.
        length: of the whole neckline, or of the part that it takes, mm.
        width: finished, mm.
        joined: what becomes of its ends.
        widths: allowances.

    Its grain line stands at 45 degrees to its length: so it stretches around the curve.
    """
    at_start, at_end = (EdgeKind.SEAM if sewn else EdgeKind.HEM for sewn in (joined.start, joined.end))
    top = [Point(0.0, width), Point(length, width)]
    foot = [Point(0.0, 0.0), Point(length, 0.0)]
    reach = max(width, 12.0)
    middle = Point(length / 2, width / 2)
    half = Point(cos(pi / 4), sin(pi / 4)) * (reach / 2)
    return Sketch(
        name,
        [
            Stroke("neck strip", Path.line(*top), EdgeKind.SEAM, widths.neck),
            Stroke("strip end", Path.line(top[1], foot[1]), at_end, widths.seam),
            Stroke("strip edge", Path.line(*foot), EdgeKind.HEM, widths.free),
            Stroke("strip start", Path.line(top[0], foot[0]), at_start, widths.seam),
        ],
        (Cut("shell", 1),),
        (middle - half, middle + half),
        remarks=("cut on the bias",),
    )
