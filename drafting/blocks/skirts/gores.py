"""Gored skirts: panels that are shaped to the hip and flare below it, each edge like the next."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.skirts.panel import SkirtPanel, SkirtSizes, skirt_panel
from drafting.geometry import Path, Point

_BEND = 0.8  # of the narrowest half gore at the waist: there it bends to the edge
COUNTS = (4, 6, 8)


@dataclass(frozen=True, slots=True)
class Gore:
    """A whole gore beside the centre one: ``waist`` and ``hem`` run outward, its edges downward."""

    waist: Path
    inner: Path
    outer: Path
    hem: Path
    hip: tuple[Point, Point]


def hip_widths(count: int, hip: float) -> tuple[float, ...]:
    """Widths at the hip of the gores on a quarter, outward, mm; of six the centre one is halved."""
    return {4: (hip,), 6: (hip / 3, 2 * hip / 3), 8: (hip / 2, hip / 2)}[count]


def edges(count: int) -> int:
    """How many shaped edges a quarter has: the centre is straight, so that it may be folded or opened."""
    return 1 if count == 4 else 3


def bend(narrowest: float) -> float:
    """Over how much of its waist each gore bends to its edge, mm: alike, as the edges are sewn together."""
    return _BEND * narrowest


def centre_gore(sizes: SkirtSizes, bent: float) -> SkirtPanel:
    """The gore at the centre, which hangs straight there. Raises: CannotDraft (see ``skirt_panel``)."""
    return skirt_panel(sizes, sizes.waist - bent)


def side_gore(sizes: SkirtSizes, bent: float, at: float) -> Gore:
    """A gore alike on both sides of its middle, which lies at x = ``at``. Raises: CannotDraft."""
    half = SkirtSizes(sizes.waist / 2, sizes.hip / 2, sizes.hip_level, sizes.length, 0.0, sizes.flare)
    outer = skirt_panel(half, half.waist - bent)

    def inward(path: Path) -> Path:
        return path.mapped(lambda p: Point(at - p[0], p[1]))

    def outward(path: Path) -> Path:
        return path.translated(at, 0.0)

    return Gore(
        inward(outer.waist).reversed().joined(outward(outer.waist)),
        inward(outer.side),
        outward(outer.side),
        inward(outer.hem).reversed().joined(outward(outer.hem)),
        (Point(at - outer.hip_side.x, outer.hip_side.y), Point(at + outer.hip_side.x, outer.hip_side.y)),
    )
