"""The edge that skirt panels meet at: shaped from the waist to the hip, straight below it.

Every side and gore of one skirt has the same edge, so that whatever is sewn together is as long.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, cos, radians, sin, tan

from drafting.errors import CannotDraft
from drafting.geometry import Cubic, Line, Path, Point, arc

_STEEPEST = radians(50.0)  # of the edge at the waist (common practice, no source)


@dataclass(frozen=True, slots=True)
class HipEdge:
    """An edge through ``hip``; ``below`` mm long from there down, leaning outward by ``flare`` radians."""

    hip: Point
    below: float
    flare: float = 0.0

    def lean(self, x: float) -> float:
        """Angle from the upright at a waist that ends at ``x``, positive where the edge widens downward.

        Raises: CannotDraft where the waist is so much narrower or wider than the hip that it would not hang.
        """
        lean = atan(1.5 * (self.hip.x - x) / -self.hip.y)
        if abs(lean) > _STEEPEST:
            raise CannotDraft(
                "the skirt would change its width between waist and hip by more than a seam can shape; "
                "choose a gathered or a circle skirt, or measure waist, hip and the depth between them again",
                field="waist_girth",
            )
        return lean

    def path(self, top: Point) -> Path:
        """From the waist down to the hem."""
        lean, along, depth = self.lean(top.x), self._along, top.y - self.hip.y
        upper = top + Point(tan(lean), -1.0) * (0.33 * depth)
        shaped = Cubic(top, upper, self.hip - along * (0.45 * depth), self.hip)
        return Path((shaped, Line(self.hip, self.foot)))

    def hem(self, x: float) -> Path:
        """From ``x`` outward to this edge: level, then an arc about the hip, square to the edge."""
        level = Point(self.hip.x, self.hip.y - self.below)
        straight = Path.line(Point(x, level.y), level)
        return straight.joined(arc(self.hip, level, self.flare)) if self.flare else straight

    @property
    def foot(self) -> Point:
        """Where the edge ends at the hem."""
        return self.hip + self._along * self.below

    @property
    def _along(self) -> Point:
        return Point(sin(self.flare), -cos(self.flare))
