"""Check 4: the girths of the closed garment are body + ease."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Final

import shapely

from drafting.geometry import Point, distance
from drafting.geometry.rings import as_array, as_polygon
from drafting.pattern import Check, Draft, Level, Piece

GIRTH_LIMIT: Final = 2.0  # mm
CHORD_LIMIT: Final = 0.5  # mm that a chord may stand out of its piece


def girth_checks(draft: Draft) -> list[Check]:
    """Return two rows a level: the girth, and whether its chords lie in their pieces."""
    return [row for level in draft.levels for row in _of_level(draft, level)]


def _of_level(draft: Draft, level: Level) -> list[Check]:
    girth = sum(distance(chord.start, chord.end) * chord.times for chord in level.chords)
    return [
        Check(f"girth: {level.name}", abs(girth - level.body - level.ease), GIRTH_LIMIT, f"{girth:.1f} mm"),
        Check(f"girth is measured inside the pieces: {level.name}", _outside(draft, level), CHORD_LIMIT),
    ]


def _outside(draft: Draft, level: Level) -> float:
    """How far the worst end of a chord lies outside its piece, mm."""
    ends: dict[str, list[Point]] = defaultdict(list)
    for chord in level.chords:
        ends[chord.piece] += [chord.start, chord.end]
    return max((_beyond(draft.piece(piece), points) for piece, points in ends.items()), default=0.0)


def _beyond(piece: Piece, points: Sequence[Point]) -> float:
    """How far the worst of the points lies outside the piece, mm."""
    return float(shapely.distance(as_polygon(piece.ring), shapely.points(as_array(points))).max())
