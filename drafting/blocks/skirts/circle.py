"""Circle skirts: a part of a ring, its inner arc the waist."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin

from drafting.errors import CannotDraft
from drafting.geometry import Path, Point, arc


@dataclass(frozen=True, slots=True)
class CirclePanel:
    """Half a front or a back; ``waist`` and ``hem`` run outward, ``side`` downward."""

    waist: Path
    side: Path
    hem: Path
    angle: float

    @property
    def opened_width(self) -> float:
        """Width of front or back in one piece on the fold, mm."""
        reach = self.side.end.x if self.angle <= pi / 2 else self.hem.length / self.angle
        return 2 * reach


def waist_radius(waist: float, share: float) -> float:
    """Radius of the waist seam, mm: r = W / (2 pi f), f the share of a whole circle.

    Raises: CannotDraft where there is no seam or no circle.

    Source: plane geometry, arc = radius x angle.
    """
    if waist <= 0 or not 0 < share <= 1:
        raise CannotDraft(f"a waist of {waist:g} mm and {share:g} of a circle leave nothing to draw")
    return waist / (2 * pi * share)


def circle_panel(waist: float, radius: float, length: float) -> CirclePanel:
    """Return the panel whose waist arc is ``waist`` long; the centre hangs straight from (0, 0)."""
    centre, angle = Point(0.0, radius), waist / radius
    along = Point(sin(angle), -cos(angle))
    inner, outer = centre + along * radius, centre + along * (radius + length)
    return CirclePanel(
        arc(centre, Point(0.0, 0.0), angle),
        Path.line(inner, outer),
        arc(centre, Point(0.0, -length), angle),
        angle,
    )
