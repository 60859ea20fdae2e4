"""Which points of a garment's pieces must meet on a stripe or a check, read from the draft's own seams.

Common practice, no source: what runs along the body (side seams, princess lines, centre seams and closures)
is matched along the cloth, at its notch nearest the hem or else at its lower end; a sleeve at the front notch
of its armhole; a patch pocket with its place. Across the cloth the centres and the pockets are matched, for a
slanting side can meet a check at one height only. Facings and linings are not matched, nor gathers and
pleats.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from itertools import chain
from math import atan2, degrees, hypot

from drafting.geometry import Path, Point
from drafting.pattern import Draft, EdgeRef, MarkKind, Method, Piece, Seam
from drafting.truing.roles import Role, role

#: A seam within this angle of the grain of both pieces runs along the body.
UPRIGHT_DEG = 45.0

#: A centre within this angle of the grain carries one stripe all along.
STRAIGHT_DEG = 2.0

#: Notches of the two sides of a seam meet within its ease and this much, mm.
NOTCH_APART = 2.0

_JOINS = (Method.PLAIN, Method.EASED, Method.ZIP)
_UNSEEN = ("facing", "lining", "bag", "strip", "under-collar", "inner")
_PLACE = " placement, "


@dataclass(frozen=True, slots=True)
class End:
    """A point of a pattern piece, as drawn."""

    piece: str
    point: Point


@dataclass(frozen=True, slots=True)
class Match:
    """Two points that must lie at the same phase of the repeat.

    ``at_centre``: the two are the right and the left copy of one piece; otherwise right meets right and left
    meets left.
    """

    name: str
    ends: tuple[End, End]
    across: bool = False
    at_centre: bool = False


def matches_of(draft: Draft, cloth_role: str) -> tuple[Match, ...]:
    """Every match of the pieces cut of one cloth, those of the centres first; no two of one name."""
    seen = {
        piece.name
        for piece in draft.pieces
        if any(cut.cloth == cloth_role for cut in piece.cuts) and not _is_unseen(piece.name)
    }
    found = [
        match
        for match in chain(_centres(draft), _sides(draft), _sleeves(draft), _pockets(draft))
        if all(end.piece in seen for end in match.ends)
    ]
    found += _pairs(draft, found, cloth_role)
    known: dict[tuple[str, str], Match] = {}
    for match in found:
        # One centre is enough for a piece, whose two copies are alike.
        known.setdefault(("centre", match.ends[0].piece) if match.at_centre else ("", match.name), match)
    return tuple(known.values())


def _is_unseen(name: str) -> bool:
    return any(word in name for word in _UNSEEN)


def _centres(draft: Draft) -> Iterator[Match]:
    """Seams and closures at which the two copies of one piece meet."""
    for seam in draft.seams:
        if seam.a == seam.b and seam.method in _JOINS and role(draft, seam) is Role.PLAIN:
            for ref in seam.a:
                piece = draft.piece(ref.piece)
                path = piece.edge(ref.edge).path
                if _off_grain(piece, path) <= UPRIGHT_DEG:
                    yield _centre(f"{seam.name}: {piece.name}", piece, path)
    for piece in draft.pieces:
        for mark in piece.marks:
            if mark.kind is MarkKind.CENTRE_LINE and any(cut.mirrored for cut in piece.cuts):
                yield _centre(f"{mark.name}: {piece.name}", piece, mark.path)


def _centre(name: str, piece: Piece, path: Path) -> Match:
    end = End(piece.name, min((path.start, path.end), key=lambda point: _height(piece, point)))
    return Match(name, (end, end), across=_off_grain(piece, path) <= STRAIGHT_DEG, at_centre=True)


def _sides(draft: Draft) -> Iterator[Match]:
    """Seams of two pieces that run along the body."""
    for seam in draft.seams:
        if seam.method in _JOINS and seam.a != seam.b and _joins_beside(draft, seam):
            ends = _meeting(draft, seam)
            if ends and ends[0].piece != ends[1].piece:
                yield Match(f"{seam.name}: {ends[0].piece} to {ends[1].piece}", ends)


def _joins_beside(draft: Draft, seam: Seam) -> bool:
    """A waist seam joins what is above to what is below, however it curves."""
    at_waist = any("waist" in ref.edge.split() for ref in (*seam.a, *seam.b))
    return role(draft, seam) is Role.PLAIN and not at_waist


def _meeting(draft: Draft, seam: Seam) -> tuple[End, End] | None:
    """Where an upright seam is matched: its pair of notches nearest to its lower end, or that end."""
    sides = (seam.a, seam.b)
    if not all(_runs_upright(draft, refs) for refs in sides):
        return None
    a, b = _corners(draft, seam.a), _corners(draft, seam.b)
    first = draft.piece(a[0].piece)
    lower = min((0, 1), key=lambda n: _height(first, a[n].point))
    pairs = [
        (one, other)
        for one, other, _ in _notch_pairs(draft, seam)
        if one.piece == a[lower].piece and other.piece == b[lower].piece
    ]
    return min(pairs, key=lambda p: _height(first, p[0].point), default=(a[lower], b[lower]))


def _sleeves(draft: Draft) -> Iterator[Match]:
    """A sleeve and the armhole, at the front notch: a single one; the back's is double."""
    for seam in draft.seams:
        if seam.method in _JOINS and role(draft, seam) is Role.SLEEVE:
            pairs = [
                (one, other)
                for one, other, count in _notch_pairs(draft, seam)
                if count == 1 and one.piece != other.piece
            ]
            if pairs:
                yield Match(f"{seam.name}: {pairs[0][0].piece} to {pairs[0][1].piece}", pairs[0])


def _pockets(draft: Draft) -> Iterator[Match]:
    """A patch and its place: the mark ``<piece> placement, <edge>`` is where that edge comes to lie."""
    pieces = {piece.name: piece for piece in draft.pieces}
    for piece in draft.pieces:
        for mark in piece.marks:
            name, _, edge = mark.name.partition(_PLACE)
            patch = pieces.get(name)
            if edge and patch and any(edge == own.name for own in patch.edges):
                ends = (End(name, patch.edge(edge).path.start), End(piece.name, mark.path.start))
                yield Match(f"{name} to its place: {piece.name}", ends, across=True)
                break


def _pairs(draft: Draft, found: Collection[Match], cloth_role: str) -> Iterator[Match]:
    """The right and the left copy of what is matched at all, where no centre says so already."""
    at_centre = {match.ends[0].piece for match in found if match.at_centre}
    for piece in draft.pieces:
        mirrored = any(cut.mirrored and cut.cloth == cloth_role for cut in piece.cuts)
        ends = [end for match in found for end in match.ends if end.piece == piece.name]
        if mirrored and ends and piece.name not in at_centre:
            yield Match(f"right and left: {piece.name}", (ends[0], ends[0]), at_centre=True)


def _runs_upright(draft: Draft, refs: tuple[EdgeRef, ...]) -> bool:
    for ref in refs:
        piece = draft.piece(ref.piece)
        if _off_grain(piece, piece.edge(ref.edge).path) > UPRIGHT_DEG:
            return False
    return bool(refs)


def _corners(draft: Draft, refs: tuple[EdgeRef, ...]) -> tuple[End, End]:
    """The two ends of one side of a seam, as it is walked."""
    paths = list(draft.walk(refs))
    return End(refs[0].piece, paths[0].start), End(refs[-1].piece, paths[-1].end)


def _notch_pairs(draft: Draft, seam: Seam) -> Iterator[tuple[End, End, int]]:
    """Notches of the one side with those that they meet on the other, and how many cuts they are."""
    others = list(_notches(draft, seam.b))
    for at, end, count in _notches(draft, seam.a):
        apart = [(abs(far - at), other) for far, other, cuts in others if cuts == count]
        least = min(apart, key=lambda pair: pair[0], default=None)
        if least is not None and least[0] <= abs(seam.ease) + NOTCH_APART:
            yield end, least[1], count


def _notches(draft: Draft, refs: tuple[EdgeRef, ...]) -> Iterator[tuple[float, End, int]]:
    """Distance from the start of the walk, mm; where it is; how many cuts."""
    walked = 0.0
    for ref in refs:
        piece = draft.piece(ref.piece)
        edge = piece.edge(ref.edge)
        for notch in (notch for notch in piece.notches if notch.edge == edge.name):
            at = edge.length - notch.at if ref.reverse else notch.at
            yield walked + at, End(piece.name, edge.path.point_at(notch.at)), notch.count
        walked += edge.length


def _off_grain(piece: Piece, path: Path) -> float:
    """Angle between the straight from end to end of a path and the grain, degrees, 0 to 90."""
    across = abs(_direction(path.start, path.end) - _direction(*piece.grain)) % 180
    return min(across, 180 - across)


def _direction(start: Point, end: Point) -> float:
    return degrees(atan2(end.y - start.y, end.x - start.x))


def _height(piece: Piece, point: Point) -> float:
    """How far up the grain a point lies."""
    start, end = piece.grain
    way = end - start
    return (point.x * way.x + point.y * way.y) / hypot(way.x, way.y)
