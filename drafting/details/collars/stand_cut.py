"""A collar cut apart a little below its roll line: a stand along the neck, and the fall that turns over it.

The seam of both is taken up where it runs round the back of the neck, so that the collar hugs it there.
Source of the method: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import asin, copysign

from drafting.details.collars.leaf import Leaf
from drafting.geometry import (
    Line,
    Path,
    Point,
    cross,
    curve_through,
    distance,
    intersect,
    perpendicular,
    rotated,
    unit,
)

_FOLDS = (0.25, 0.5, 0.75)  # of the back neck: where the seam is taken up
_MOST = 0.3  # of the stand's height: what is taken up in all
_FAR = 1000.0  # mm
_STEPS = 4  # each brings the fall's seam several times nearer to the stand's


@dataclass(frozen=True, slots=True)
class StandAndFall:
    """Half of each; ``seam`` and ``roll`` as they lie on the fall, from the centre back to the front.

    The stand's ``edge`` is its seam; its ``neck`` ends on that. The fall's ``neck`` is what it keeps of the
    collar's neck edge, from its seam on.
    """

    stand: Leaf
    fall: Leaf
    seam: Path
    roll: Path


@dataclass(frozen=True, slots=True)
class _Fold:
    """A wedge taken up at ``mouth`` on the seam, to nothing at ``pivot``, by a turn of ``angle`` radians."""

    mouth: Point
    pivot: Point
    angle: float

    def beyond(self, point: Point) -> bool:
        """Whether a point lies on the side that turns: that of the collar's front."""
        return cross(self.mouth - self.pivot, point - self.pivot) * self.angle < 0

    def place(self, path: Path) -> float:
        """How far along a path it crosses this wedge, mm."""
        along = unit(self.mouth - self.pivot) * _FAR
        met = intersect(path, Line(self.pivot - along, self.mouth + along))
        return path.along(min(met, key=lambda p: min(distance(p, self.mouth), distance(p, self.pivot))))


def cut_apart(leaf: Leaf, seam: Path, roll: Path, *, back: float, taken: float) -> StandAndFall:
    """Cut a collar along ``seam`` and take that up round the back of the neck, alike in both parts.

    Args:
        leaf: half the collar.
        seam: from its centre back to its neck edge, in front.
        roll: where it turns over.
        back: length of the back neck, mm.
        taken: by how much the seam becomes shorter, mm; less on a low stand.
    """
    height = distance(leaf.back.start, seam.start)
    wished = min(taken, _MOST * height)
    own, rest = leaf.neck.split_at(leaf.neck.along(seam.end))
    low, high = leaf.back.split_at(height)
    inner = _folds(seam, own, back, wished)
    edge = _seam_taken_up(seam, inner, back)
    outer = _folds_to_length(seam, leaf.edge, back, wished, edge.length)
    stand = Leaf(_taken_up(own, inner), edge, low, Path.line(low.start, low.end))
    fall = Leaf(_turned(rest, outer), _taken_up(leaf.edge, outer), high, _turned(leaf.end, outer))
    return StandAndFall(stand, fall, _seam_taken_up(seam, outer, back), _taken_up(roll, outer))


def _folds(seam: Path, hinge: Path, back: float, taken: float) -> tuple[_Fold, ...]:
    """Wedges across one part, square to the seam, their pivots on its other edge."""
    return tuple(_fold(seam, hinge, share * back, taken / len(_FOLDS)) for share in _FOLDS)


def _fold(seam: Path, hinge: Path, at: float, width: float) -> _Fold:
    mouth, along = seam.point_at(at), seam.tangent_at(at)
    across = perpendicular(along) * _FAR
    pivot = min(intersect(hinge, Line(mouth - across, mouth + across)), key=lambda p: distance(p, mouth))
    side = cross(mouth - pivot, along)
    return _Fold(mouth, pivot, -copysign(2 * asin(width / (2 * distance(mouth, pivot))), side))


def _folds_to_length(seam: Path, hinge: Path, back: float, taken: float, length: float) -> tuple[_Fold, ...]:
    """Wedges that leave the seam exactly as long as wished; about ``taken`` wide together."""
    for _ in range(_STEPS):
        taken += _seam_taken_up(seam, _folds(seam, hinge, back, taken), back).length - length
    return _folds(seam, hinge, back, taken)


def _taken_up(path: Path, folds: Sequence[_Fold]) -> Path:
    """A line that runs from the centre back across every wedge, once they are closed; drawn evenly there."""
    return _closed_over(path, folds, [fold.place(path) for fold in folds])


def _seam_taken_up(seam: Path, folds: Sequence[_Fold], back: float) -> Path:
    """The seam itself, which meets the wedges at their mouths."""
    return _closed_over(seam, folds, [share * back for share in _FOLDS])


def _closed_over(path: Path, folds: Sequence[_Fold], places: Sequence[float]) -> Path:
    """``places``: where the path meets the wedges, mm along it."""
    last = places[-1] + (places[-1] - places[-2]) / 2
    at = [0.0, *((a + b) / 2 for a, b in pairwise(places)), last]
    near, rest = path.split_at(last)
    far = _turned(rest, folds)
    points = [_move(near.point_at(s), folds) for s in at[:-1]]
    return curve_through([*points, far.start], path.start_tangent, far.start_tangent).joined(far)


def _turned(path: Path, folds: Sequence[_Fold]) -> Path:
    """A line in front of all wedges, as it lies once they are closed."""
    return path.mapped(lambda p: _closed(p, folds))


def _move(point: Point, folds: Sequence[_Fold]) -> Point:
    return _closed(point, [fold for fold in folds if fold.beyond(point)])


def _closed(point: Point, folds: Sequence[_Fold]) -> Point:
    """Turned about each pivot, the foremost first: the others carry it along."""
    for fold in reversed(folds):
        point = rotated(point, fold.angle, fold.pivot)
    return point
