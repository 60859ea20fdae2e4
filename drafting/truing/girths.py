"""Check 4: the girths of the closed garment are body + ease."""

from __future__ import annotations

from typing import Final

import shapely

from drafting.geometry import distance
from drafting.pattern import Check, Draft, Level

GIRTH_LIMIT: Final = 2.0  # mm
CHORD_LIMIT: Final = 0.5  # mm that a chord may stand out of its piece


def girth_checks(draft: Draft) -> list[Check]:
    """Return two rows a level: the girth, and whether its chords lie in their pieces."""
    return [row for level in draft.levels for row in _of_level(draft, level)]


def _of_level(draft: Draft, level: Level) -> list[Check]:
    girth = sum(distance(chord.start, chord.end) * chord.times for chord in level.chords)
    outside = max((_outside(draft, level, i) for i in range(len(level.chords))), default=0.0)
    return [
        Check(f"girth: {level.name}", abs(girth - level.body - level.ease), GIRTH_LIMIT, f"{girth:.1f} mm"),
        Check(f"girth is measured inside the pieces: {level.name}", outside, CHORD_LIMIT),
    ]


def _outside(draft: Draft, level: Level, index: int) -> float:
    chord = level.chords[index]
    piece = shapely.Polygon(draft.piece(chord.piece).outline())
    return float(max(shapely.distance(piece, shapely.points([chord.start, chord.end]))))
