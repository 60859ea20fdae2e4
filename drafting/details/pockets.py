"""Pockets: the bag of a pocket in a side seam, and a patch. Shapes: common practice, no source."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.geometry import Path, Point, curve_through, distance, perpendicular, unit

_REACH, _DROP = 0.9, 0.6  # of the opening: how far a bag reaches inward, and below the opening
_TALL, _POINT = 1.15, 0.15  # of a patch's width: its height, and what of it comes to a point


def bag_edge(opening: Path) -> Path:
    """The curve of a bag from the lower end of its opening round to the upper end.

    ``opening`` runs downward along a side; the bag lies towards the centre, its bottom below the opening.
    """
    top, foot = opening.start, opening.end
    size = distance(top, foot)
    along = unit(foot - top)
    inward = perpendicular(along) * -1.0
    return curve_through(
        [
            foot,
            foot + inward * (0.42 * size) + along * (_DROP * size),
            foot + inward * (_REACH * size) + along * (0.2 * size),
            top + inward * (0.62 * size) + along * (0.12 * size),
            top,
        ],
        # A corner with the opening as it runs there: allowances of two widths meet.
        opening.end_tangent - perpendicular(opening.end_tangent) * 0.8,
        inward * -1.0 - along * 0.25,
    )


@dataclass(frozen=True, slots=True)
class Patch:
    """A patch pocket: its upper edge, both sides downward, and the foot, which comes to a point."""

    top: Path
    left: Path
    right: Path
    foot: Path

    @property
    def corners(self) -> tuple[Point, ...]:
        """Corners in order, the upper left first."""
        return (self.top.start, self.top.end, *self.foot.reversed().flatten())


def patch(corner: Point, width: float) -> Patch:
    """Return a patch pocket ``width`` wide whose upper corner nearer to the centre is ``corner``."""
    height, point = _TALL * width, _POINT * width
    across = Point(width, 0.0)
    left = corner - Point(0.0, height - point)
    tip = corner + Point(0.5 * width, -height)
    return Patch(
        Path.line(corner, corner + across),
        Path.line(corner, left),
        Path.line(corner + across, left + across),
        Path.polyline((left, tip, left + across)),
    )
