"""Reading the numbers of a hand-drafting sheet off a draft's pieces."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from drafting.finishing.remarks import allowance_remark
from drafting.geometry import Path, Point, distance
from drafting.output.arrange import ring_bounds
from drafting.output.cutting import piece_cutting
from drafting.output.hand.curves import is_straight, offsets, parts
from drafting.output.hand.plan import (
    Corner,
    Frame,
    HandPiece,
    Inside,
    NotchAt,
    Ruled,
    Station,
    corner_names,
)
from drafting.output.hand.tape import Tape
from drafting.pattern import Dart, Draft, Edge, EdgeKind, Mark, Piece

_UPRIGHT = 0.5
"""mm: an edge whose ends differ less than this across stands upright on a side of the frame."""


def hand_pieces(draft: Draft, tape: Tape) -> tuple[HandPiece, ...]:
    """Return every piece of a draft as it is ruled by hand."""
    closed = [dart for dart in draft.darts if dart.leg_edges is None]
    return tuple(
        hand_piece(piece, tape, [dart for dart in closed if dart.piece == piece.name])
        for piece in draft.pieces
    )


def hand_piece(piece: Piece, tape: Tape, darts: Iterable[Dart] = ()) -> HandPiece:
    """Return a piece as it is ruled by hand; ``darts`` are those that are not open at its outline."""
    seat = _Seat.of(piece, tape)
    corners, lines, starts = _outline(piece, seat, tape)
    return HandPiece(
        piece.name,
        tuple(f"{line.cloth}: {line.words}" for line in piece_cutting(piece)),
        seat.frame,
        corners,
        lines,
        (seat.station(piece.grain[0]), seat.station(piece.grain[1])),
        tuple(NotchAt(n.edge, starts[n.edge], tape.nearest(n.at), n.count) for n in piece.notches),
        (*_darts(darts, seat), *(_inside(mark, seat, tape) for mark in piece.marks)),
        _allowances(piece),
        # The allowances have a table of their own, in the tape's unit.
        tuple(text for text in piece.remarks if text != allowance_remark(piece)),
        tuple(map(seat.in_frame, piece.cut_line)),
    )


@dataclass(frozen=True, slots=True)
class _Seat:
    """Where a piece lies in its frame."""

    frame: Frame
    side: float  # x of the base side in the piece
    top: float
    tape: Tape

    @staticmethod
    def of(piece: Piece, tape: Tape) -> _Seat:
        left, bottom, right, top = ring_bounds(piece.outline(0.5))
        from_right = _upright(piece, right) > _upright(piece, left)
        frame = Frame(tape.nearest(right - left), tape.nearest(top - bottom), from_right)
        return _Seat(frame, right if from_right else left, top, tape)

    def station(self, p: Point) -> Station:
        across = self.side - p[0] if self.frame.from_right else p[0] - self.side
        return Station(self.tape.nearest(across), self.tape.nearest(self.top - p[1]))

    def in_frame(self, p: Point) -> Point:
        """A point of the piece in the frame's coordinates, not rounded."""
        left = self.side - self.frame.width if self.frame.from_right else self.side
        return Point(p[0] - left, p[1] - self.top)

    def ruled(self, at: Station) -> Point:
        """Where a station lies in the piece's own coordinates."""
        x = self.side - at.across if self.frame.from_right else self.side + at.across
        return Point(x, self.top - at.down)


def _upright(piece: Piece, x: float) -> float:
    """Length of the edges that stand on a side of the frame: the centre lies there."""
    return sum(
        edge.length
        for edge in piece.edges
        if abs(edge.path.start.x - x) < _UPRIGHT and abs(edge.path.end.x - x) < _UPRIGHT
    )


def _outline(
    piece: Piece, seat: _Seat, tape: Tape
) -> tuple[tuple[Corner, ...], tuple[Ruled, ...], dict[str, str]]:
    """Corners and lines in the outline's order, and the corner at which each edge starts."""
    runs = [(edge, index, part) for edge in piece.edges for index, part in enumerate(parts(edge.path))]
    names = [name for name, _ in zip(corner_names(), runs, strict=False)]
    corners = tuple(
        Corner(name, seat.station(part.start), _corner_words(piece, edge, index))
        for name, (edge, index, part) in zip(names, runs, strict=True)
    )
    places = [seat.ruled(corner.at) for corner in corners]
    following = (*range(1, len(runs)), 0)
    lines = tuple(
        _ruled(edge, part, (names[i], names[j]), (places[i], places[j]), tape)
        for i, (j, (edge, _, part)) in enumerate(zip(following, runs, strict=True))
    )
    starts = {edge.name: name for name, (edge, index, _) in zip(names, runs, strict=True) if index == 0}
    return corners, lines, starts


def _corner_words(piece: Piece, edge: Edge, index: int) -> str:
    if index:
        return f"on the {edge.name}"
    before = piece.edges[piece.edges.index(edge) - 1]
    return f"{before.name} / {edge.name}"


def _ruled(edge: Edge, path: Path, names: tuple[str, str], ends: tuple[Point, Point], tape: Tape) -> Ruled:
    a, b = ends
    base = distance(a, b)
    straight = is_straight(path) or base < tape.mark
    points = () if straight else offsets(path, a, b, tape)
    if not any(offset.into for offset in points):
        points = ()  # a tape cannot tell it from a straight line
    return Ruled(edge.name, edge.kind, *names, tape.nearest(path.length), tape.nearest(base), points)


def _inside(mark: Mark, seat: _Seat, tape: Tape) -> Inside:
    """A straight mark by its ends, a bent one by points along it."""
    path = mark.path
    if path.length < tape.mark:
        points = [path.start]
    elif is_straight(path):
        points = [path.start, path.end]
    else:
        count = max(2, round(path.length / tape.spacing))
        points = [path.point_at(path.length * k / count) for k in range(count + 1)]
    return Inside(mark.name, mark.kind, tuple(map(seat.station, points)))


def _darts(darts: Iterable[Dart], seat: _Seat) -> Iterable[Inside]:
    for dart in darts:
        yield Inside(dart.name, None, tuple(map(seat.station, (dart.start, dart.apex, dart.end))))


def _allowances(piece: Piece) -> tuple[tuple[float, tuple[str, ...]], ...]:
    """Widths in falling order with the edges that have each; the legs of darts and folds have none."""
    widths = {edge.name: edge.allowance for edge in piece.edges if edge.kind is not EdgeKind.DART}
    return tuple(
        (width, tuple(name for name, own in widths.items() if own == width))
        for width in sorted(set(widths.values()), reverse=True)
    )
