"""Plackets: a front folded back along its edge, and the strips of an opening that ends part of the way down.

Frame: that of the blocks, the centre front at x = 0, the cloth outward; what laps over reaches ``half`` mm
beyond the centre, to x = -half. Source of the method: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Path, Point
from drafting.pattern import Cut, EdgeKind, MarkKind

OVERLAP, UNDERLAP = "placket overlap", "placket underlap"
SIDE, TOP, LAP, INNER_TOP, INNER_SIDE = (
    "placket side",
    "neck faced",
    "neck extension",
    "inner top",
    "inner side",
)
FOOT, INNER_FOOT, BOX = "placket foot", "inner foot", ("box side", "box end", "inner box side")
_BOX = 0.7  # of a placket's width: how far the overlap's box reaches below the opening
_GRAIN = (0.15, 0.8)  # of a strip's length
_Seam = Callable[[str, Path], Stroke]


def folded_back(top: Path, foot: Path, half: float) -> tuple[Path, Path, Path]:
    """What lies beyond the fold of a placket that is cut in one with its front.

    Args:
        top: the upper edge from where the placket ends on the front, x = half, to the fold, x = -half.
        foot: the lower edge between the same, from the fold inward.
        half: of the placket's width, mm.

    Returns: its top from the fold outward, its edge downward, its foot from the fold outward: the mirror
    image of what it will lie on.
    """
    above, below = (path.mirrored(Point(-half, 0.0), Point(-half, 1.0)) for path in (top.reversed(), foot))
    return above, Path.line(above.end, below.end), below


@dataclass(frozen=True, slots=True)
class Opening:
    """Of a half placket: ``top`` is the neckline from the opening's edge to the centre; mm."""

    top: Path
    depth: float  # below the neckline at the centre
    half: float  # of its width

    @property
    def foot(self) -> float:
        """The height at which it ends."""
        return self.top.end.y - self.depth

    @property
    def box(self) -> float:
        """How far the overlap's box reaches below its foot."""
        return _BOX * 2 * self.half


def opening_strokes(opening: Opening, allowance: float) -> tuple[Stroke, Stroke]:
    """The edges of the opening in half a front: down beside the centre, and level to it."""
    start, corner = opening.top.start, Point(opening.half, opening.foot)
    return (
        Stroke(SIDE, Path.line(start, corner), EdgeKind.SEAM, allowance),
        Stroke(FOOT, Path.line(corner, Point(0.0, opening.foot)), EdgeKind.SEAM, allowance),
    )


def strip(opening: Opening, name: str, allowance: float) -> Sketch:
    """A strip of a half placket, folded lengthwise at x = -half: an outer half, and an inner one beyond that.

    Edges: "placket side" (to the opening's edge), "neck faced" and "neck extension" (to the centre, and from
    there to the fold), "inner top", "inner side", and below: "placket foot" and "inner foot" of the underlap,
    sewn to the foot of the opening; of the overlap a box that reaches below it ("box side", "box end",
    "inner box side").
    """
    half, fold = opening.half, -opening.half
    lap = opening.top.mirrored(Point(0.0, 0.0), Point(0.0, 1.0)).reversed()
    outer = opening.top.joined(lap)
    inner_top = outer.mirrored(Point(fold, 0.0), Point(fold, 1.0)).reversed()
    far = 3 * fold
    corner, beyond = Point(half, opening.foot), Point(far, opening.foot)

    def seam(name: str, path: Path) -> Stroke:
        return Stroke(name, path, EdgeKind.SEAM, allowance)

    below = _box(opening, seam) if name == OVERLAP else _foot(opening, seam)
    sketch = Sketch(
        name,
        [
            seam(SIDE, Path.line(opening.top.start, corner)),
            *below,
            seam(INNER_SIDE, Path.line(inner_top.end, beyond)),
            seam(INNER_TOP, inner_top),
            seam(LAP, lap),
            seam(TOP, opening.top),
        ],
        (Cut("shell", 1), Cut("interfacing", 1)),
        _upright(0.5 * fold, opening),
        is_front=True,
    )
    foot = opening.foot - (opening.box if name == OVERLAP else 0.0)
    sketch.mark("fold", MarkKind.GUIDE, Path.line(lap.end, Point(fold, foot)))
    sketch.mark("centre front", MarkKind.CENTRE_LINE, Path.line(lap.start, Point(0.0, foot)))
    return sketch


def _upright(x: float, opening: Opening) -> tuple[Point, Point]:
    low, high = (opening.foot + share * opening.depth for share in _GRAIN)
    return Point(x, low), Point(x, high)


def _foot(opening: Opening, seam: _Seam) -> list[Stroke]:
    """The lower end of the underlap: of its outer half, and of its inner one."""
    half, y = opening.half, opening.foot
    fold, far = Point(-half, y), Point(-3 * half, y)
    return [
        seam(FOOT, Path.line(Point(half, y), fold)),
        seam(INNER_FOOT, Path.line(far, fold)),
    ]


def _box(opening: Opening, seam: _Seam) -> list[Stroke]:
    """The lower end of the overlap: pressed in, and topstitched as a box below the opening."""
    half, y, low = opening.half, opening.foot, opening.foot - opening.box
    right, left = Point(half, low), Point(-3 * half, low)
    side, end, inner = BOX
    return [
        seam(side, Path.line(Point(half, y), right)),
        seam(end, Path.line(right, left)),
        seam(inner, Path.line(Point(-3 * half, y), left)),
    ]


def _cornered(path: Path) -> Path:
    return Path.polyline([path.start, *(segment.end for segment in path.segments)])


def stiffening(name: str, top: Path, foot: Path, half: float) -> Sketch:
    """The interfacing of a folded placket, from the fold to its stitching: no allowance, cut to its line.

    ``top`` and ``foot`` run as for ``folded_back``; it ends straight from corner to corner of them.
    """
    above, below = (_cornered(path) for path in (top, foot))
    fold, inside = Path.line(top.end, foot.start), Path.line(top.start, foot.end)
    strokes = (("upper end", above), ("fold", fold), ("lower end", below), ("stitching", inside))
    low, high = foot.start.y, top.end.y
    return Sketch(
        name,
        [Stroke(edge, path, EdgeKind.HEM) for edge, path in strokes],
        (Cut("interfacing", 2, mirrored=True),),
        (Point(0.0, low + 0.2 * (high - low)), Point(0.0, low + 0.7 * (high - low))),
        is_front=True,
    )
