"""The no-fit polygon of two outlines: the displacements by which the one comes to overlap the other.

It is the Minkowski sum of the one and the other turned about the origin. Its border is found in the
convolution of their borders: each corner of the one joined with those sides of the other that lie within its
turn. Around a point of the sum that convolution winds once for each place where the two overlap, around any
other point not at all.
Sources, from memory: Guibas, Ramshaw, Stolfi (1983), A kinetic framework for computational geometry, 24th
Annual Symposium on Foundations of Computer Science, 100-111; Wein (2006), Exact and efficient construction of
planar Minkowski sums using the convolution method, ESA 2006, LNCS 4168, 829-840.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

#: How far the corners of what is grown by the gap may stand out, in gaps: straight edges, few of them.
MITRE = 1.5

#: A face smaller than this share of the box around all is a crack left by rounding, not a place.
CRACK = 1e-9


def no_fit(still: Floats, moving: Floats, gap: float) -> BaseGeometry:
    """The displacements of ``moving`` by which it comes nearer to ``still`` than the gap.

    Args:
        still, moving: corners of simple outlines, mm, shape (n, 2), in either sense.
        gap: mm, 0 or more.
    """
    starts, ends = _convolution(_Border.of(still), _Border.of(-moving))
    sides = shapely.linestrings(np.stack([starts, ends], axis=1))
    faces = shapely.get_parts(shapely.polygonize([shapely.union_all(sides)]))
    inside = _windings(shapely.get_coordinates(shapely.point_on_surface(faces)), starts, ends) > 0
    cracks = shapely.area(faces) < CRACK * np.ptp(starts, axis=0).prod()
    found = shapely.coverage_union_all(faces[inside | cracks])
    if gap <= 0:
        return found
    grown = found.buffer(gap, join_style="mitre", mitre_limit=MITRE)
    # Sharp corners, cut off at the limit, stand out further at both ends of the cut.
    return grown.intersection(found.buffer(MITRE * gap, quad_segs=2))


class _Border(NamedTuple):
    """Corners against the clock, and the angle of the side that leaves each, from -pi to pi."""

    corners: Floats
    angles: Floats

    @classmethod
    def of(cls, corners: Floats) -> _Border:
        ways = np.roll(corners, -1, axis=0) - corners
        kept = ways.any(axis=1)
        corners, ways = corners[kept], ways[kept]
        if (corners[:, 0] * ways[:, 1] - corners[:, 1] * ways[:, 0]).sum() < 0:
            corners = corners[::-1]
            ways = np.roll(corners, -1, axis=0) - corners
        return cls(corners, np.arctan2(ways[:, 1], ways[:, 0]))


def _convolution(one: _Border, other: _Border) -> tuple[Floats, Floats]:
    """The starts and ends of its sides, shape (sides, 2) each."""
    # All directions in one order, those of the one before equal ones of the other: as if the other were
    # turned by next to nothing, so that no two are parallel.
    count = len(one.angles)
    ranks = np.empty(count + len(other.angles), dtype=np.int64)
    ranks[np.argsort(np.concatenate([one.angles, other.angles]), kind="stable")] = np.arange(len(ranks))
    halves = (
        _joined(one, ranks[:count], other, ranks[count:]),
        _joined(other, ranks[count:], one, ranks[:count]),
    )
    starts, ends = (np.concatenate(half) for half in zip(*halves, strict=True))
    return starts, ends


def _joined(turning: _Border, turns: Ints, straight: _Border, ways: Ints) -> tuple[Floats, Floats]:
    """Each corner of the one with those sides of the other whose way lies within its turn; against their way
    where it turns with the clock. ``turns``, ``ways``: the ranks of their directions."""
    directions = len(turns) + len(ways)
    before, after = np.roll(turns, 1), turns
    bend = (turning.angles - np.roll(turning.angles, 1)) % (2 * np.pi)
    left = np.where(bend == 0, after > before, bend < np.pi)
    first, last = np.where(left, before, after), np.where(left, after, before)
    span = (last - first) % directions
    corner, side = np.nonzero((ways[None] - first[:, None]) % directions < span[:, None])
    starts = turning.corners[corner] + straight.corners[side]
    ends = turning.corners[corner] + np.roll(straight.corners, -1, axis=0)[side]
    forth: Flags = left[corner][:, None]
    return np.where(forth, starts, ends), np.where(forth, ends, starts)


def _windings(points: Floats, starts: Floats, ends: Floats) -> Ints:
    """How often the sides wind around each point, against the clock: by those right of it."""
    x, y = points[:, :1], points[:, 1:]
    rises = np.where(ends[:, 1] == starts[:, 1], 1.0, ends[:, 1] - starts[:, 1])
    right = starts[:, 0] + (y - starts[:, 1]) / rises * (ends[:, 0] - starts[:, 0]) > x
    up = (starts[:, 1] <= y) & (ends[:, 1] > y) & right
    down = (ends[:, 1] <= y) & (starts[:, 1] > y) & right
    windings: Ints = up.sum(axis=1) - down.sum(axis=1)
    return windings
