"""Trousers: front and back of one leg, mirrored for the other."""

from __future__ import annotations

from functools import cached_property

from drafting.geometry import Point
from drafting.output.figure.cloth import cloth_shapes, hem_lines
from drafting.output.figure.ink import both
from drafting.output.figure.panels import Panel, Side
from drafting.output.figure.skirts import Skirt, upper_edge
from drafting.pattern import Draft, Piece

_APART = 14.0  # mm between the centre and the inside of a leg at its hem (drawing only)


def _leg(draft: Draft, side: str) -> Piece | None:
    return next(
        (
            piece
            for piece in draft.pieces
            if side in piece.name.split()
            and any(word in piece.name for word in ("trouser", "leg"))
            and any(cut.cloth == "shell" for cut in piece.cuts)
        ),
        None,
    )


class Leg(Panel):
    """Half a pair of trousers as it hangs: the crotch folded in behind, the legs below it apart."""

    @cached_property
    def _inner(self) -> tuple[Point, Point]:
        """The inside leg from the crotch down, as drafted."""
        inseam = next((edge for edge in self.piece.edges if edge.name.startswith("inseam")), None)
        if inseam is None:
            return Point(0.0, self.top), Point(0.0, self.bottom)
        low, high = sorted((self.out(inseam.path.start), self.out(inseam.path.end)), key=lambda p: p[1])
        return high, low

    @cached_property
    def _waist(self) -> Point:
        """Where the waist ends at the centre, as drafted."""
        waist = [
            self.out(p)
            for e in self.piece.edges
            if e.name.startswith("waist")
            for p in (e.path.start, e.path.end)
        ]
        return min(waist, key=lambda p: p[0], default=Point(0.0, self.top))

    def closed(self, p: Point) -> Point:
        """Where a point lies: the centre upright, nothing beyond it, the inside leg a little beside it."""
        p = super().closed(p)
        high, low = self._inner
        above = min(max((p[1] - high[1]) / max(self._waist[1] - high[1], 1.0), 0.0), 1.0)
        p = Point(p[0] - max(self._waist[0], 0.0) * above, p[1])
        share = min(max((high[1] - p[1]) / max(high[1] - low[1], 1.0), 0.0), 1.0)
        inside = _APART * share
        moved = p[0] + max(inside - low[0], 0.0) * min(share * 2.5, 1.0)
        return Point(max(moved, inside), p[1])


def trousers_of(draft: Draft, side: str, sign: float) -> Skirt | None:
    """Return both legs of a side, their upper edge at 0; None where there are none."""
    piece = _leg(draft, side)
    if piece is None:
        return None
    darts = tuple(dart for dart in draft.darts if dart.piece == piece.name)
    edge = upper_edge(Side((Panel(piece, darts),)))
    raised = Side((Leg(piece, darts, lift=-edge[-1][1] if edge else 0.0),))
    shapes = (*cloth_shapes(draft, raised, sign), *both("fine", hem_lines(raised)))
    half = max(p[0] for edge in piece.edges for p in raised.line(0, edge))
    return Skirt(shapes, half, raised.bottom, upper_edge(raised), raised)
