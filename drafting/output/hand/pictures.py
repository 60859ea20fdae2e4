"""A small picture for each step: what is there already in thin lines, what the step adds in bold ones."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.geometry import Path, Point, distance, unit
from drafting.output.hand.plan import HandPiece, Ruled, Station
from drafting.output.hand.steps import Stage
from drafting.output.hand.tape import Tape
from drafting.output.shapes import Drawing, Shape, Words, line_data, path_data, ring_data

WIDTH, HEIGHT = 74.0, 78.0
_LOW = 46.0
"""Height of the picture of a bare frame, mm."""
_MARGIN = 8.0
_LETTER = 2.7

HAND_STYLE = """
.hand path{fill:none;stroke:#111;stroke-width:.22;stroke-linejoin:round;stroke-linecap:round}
.hand .new{stroke-width:.6}
.hand .pale{stroke:#999;stroke-width:.18}
.hand .base{stroke:#666;stroke-width:.18;stroke-dasharray:1.2 .8}
.hand .dot{fill:#111;stroke:none}
.hand .cut{stroke-width:.6}
"""
_CROWDED = 4.0  # mm: the letter of a point this close would lie over that of the corner


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing of a size, mm, its top left corner at the origin."""

    drawing: Drawing
    width: float
    height: float


def picture_of(piece: HandPiece, stage: Stage, tape: Tape) -> Picture:
    """Return the picture of a piece once a step of it is done."""
    view = _View.of(piece, _LOW if stage is Stage.FRAME else HEIGHT)
    draw = _DRAWN[stage]
    return Picture(draw(view, tape), view.width, view.height)


@dataclass(frozen=True, slots=True)
class _View:
    piece: HandPiece
    scale: float
    left: float
    top: float
    width: float
    height: float

    @staticmethod
    def of(piece: HandPiece, height: float) -> _View:
        """The frame and the cut line, made as large as the picture allows."""
        xs = [0.0, piece.frame.width, *(p[0] for p in piece.cut_line)]
        ys = [0.0, -piece.frame.height, *(p[1] for p in piece.cut_line)]
        wide, high = max(xs) - min(xs), max(ys) - min(ys)
        scale = min((WIDTH - 2 * _MARGIN) / max(wide, 1.0), (height - 2 * _MARGIN) / max(high, 1.0), 0.6)
        return _View(piece, scale, min(xs), max(ys), wide * scale + 2 * _MARGIN, high * scale + 2 * _MARGIN)

    def place(self, p: Point) -> Point:
        return Point((p[0] - self.left) * self.scale + _MARGIN, (p[1] - self.top) * self.scale - _MARGIN)

    def station(self, at: Station) -> Point:
        return self.place(self.piece.frame.point(at))

    def line(self, line: Ruled, style: str) -> Shape:
        return Shape(style, path_data(self.piece.path(line).mapped(self.place)))

    @property
    def frame_ring(self) -> list[Point]:
        w, h = self.piece.frame.width, self.piece.frame.height
        return [self.place(Point(x, y)) for x, y in ((0, 0), (w, 0), (w, -h), (0, -h))]


def _dot(p: Point, radius: float = 0.7) -> Shape:
    r = radius
    return Shape("dot", path_data(_ring(p, r)) + "Z")


def _ring(p: Point, r: float) -> Path:
    k = 0.5523 * r
    quarter = Path.cubic(p + Point(r, 0.0), p + Point(r, k), p + Point(k, r), p + Point(0.0, r))
    turned = [quarter.rotated(i * 3.141592653589793 / 2, p) for i in range(4)]
    whole = turned[0]
    for part in turned[1:]:
        whole = whole.joined(part)
    return whole


def _frame_shapes(view: _View, style: str) -> Drawing:
    ring = view.frame_ring
    corner = ring[1] if view.piece.frame.from_right else ring[0]
    # Beside the letter of a point that lies in this corner.
    beside = min(distance(corner, view.station(c.at)) for c in view.piece.corners) < _CROWDED
    reach = 5.2 if beside else 2.6
    shift = reach if view.piece.frame.from_right else -reach
    zero = Words(corner[0] + shift, -corner[1] - 1.2, _LETTER, "0", bold=True)
    return Drawing((Shape(style, ring_data(ring)), _dot(corner)), (zero,))


def _frame(view: _View, tape: Tape) -> Drawing:
    ring = view.frame_ring
    frame = view.piece.frame
    top = Words((ring[0][0] + ring[1][0]) / 2, -ring[0][1] - 1.5, _LETTER, tape.words(frame.width))
    side = Words(
        ring[0][0] - 1.5, -(ring[0][1] + ring[3][1]) / 2, _LETTER, tape.words(frame.height), angle=-90.0
    )
    return _frame_shapes(view, "new") + Drawing(words=(top, side))


def _letters(view: _View) -> Drawing:
    """Every point with its letter, on the side away from the piece's middle."""
    places = [view.station(corner.at) for corner in view.piece.corners]
    middle = Point(sum(p[0] for p in places) / len(places), sum(p[1] for p in places) / len(places))
    words = []
    for corner, p in zip(view.piece.corners, places, strict=True):
        away = unit(p - middle) if distance(p, middle) > 1e-6 else Point(0.0, 1.0)
        anchor = p + away * 2.6
        words.append(Words(anchor[0], -anchor[1] + _LETTER * 0.36, _LETTER, corner.name, bold=True))
    return Drawing(tuple(_dot(p, 0.5) for p in places), tuple(words))


def _points(view: _View, tape: Tape) -> Drawing:
    return _frame_shapes(view, "pale") + _letters(view)


def _lines(view: _View, tape: Tape) -> Drawing:
    shapes = tuple(view.line(line, "new") for line in view.piece.lines if not line.offsets)
    return _points(view, tape) + Drawing(shapes)


def _curves(view: _View, tape: Tape) -> Drawing:
    shapes = [view.line(line, "new" if line.offsets else "") for line in view.piece.lines]
    for line in view.piece.lines:
        if line.offsets:
            shapes += _squared(view, line)
    return _points(view, tape) + Drawing(tuple(shapes))


def _squared(view: _View, line: Ruled) -> list[Shape]:
    """The base line, and the short lines squared off it."""
    a, b = view.piece.corner(line.start), view.piece.corner(line.end)
    along = unit(b - a)
    into = Point(-along[1], along[0])
    shapes = [Shape("base", line_data(view.place(a), view.place(b)))]
    for offset in line.offsets:
        foot = a + along * offset.along
        shapes.append(Shape("pale", line_data(view.place(foot), view.place(foot + into * offset.into))))
    return shapes


def _outline(view: _View, style: str = "") -> Drawing:
    return Drawing(tuple(view.line(line, style) for line in view.piece.lines))


def _inside(view: _View, tape: Tape) -> Drawing:
    piece = view.piece
    shapes = [Shape("new", line_data(*map(view.station, piece.grain)))]
    for mark in piece.inside:
        points = [view.station(at) for at in mark.points]
        shapes.append(_dot(points[0]) if len(points) == 1 else Shape("new", line_data(*points)))
    return _outline(view) + _letters(view) + Drawing((*shapes, *_notches(view)))


def _notches(view: _View) -> list[Shape]:
    """A short stroke across the edge at each notch."""
    shapes = []
    for notch in view.piece.notches:
        rest = notch.along
        for line in (line for line in view.piece.lines if line.edge == notch.edge):
            path = view.piece.path(line)
            if rest <= path.length:
                p, along = view.place(path.point_at(rest)), path.tangent_at(rest)
                across = Point(-along[1], along[0]) * 1.4
                shapes.append(Shape("new", line_data(p - across, p + across)))
                break
            rest -= path.length
    return shapes


def _allowance(view: _View, tape: Tape) -> Drawing:
    if not view.piece.cut_line:
        return _outline(view)
    return _outline(view) + Drawing((Shape("cut", ring_data([view.place(p) for p in view.piece.cut_line])),))


_DRAWN = {
    Stage.FRAME: _frame,
    Stage.POINTS: _points,
    Stage.LINES: _lines,
    Stage.CURVES: _curves,
    Stage.INSIDE: _inside,
    Stage.ALLOWANCE: _allowance,
}
