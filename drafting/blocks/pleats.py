"""Pleats: how they share the cloth, how deep they may be, where their folds lie.

A pleat ``d`` deep takes 2 d of cloth as a knife pleat, 4 d as a box or inverted pleat: knife = n (v + 2 d),
box = n (v + 4 d) (plane geometry).
"""

from __future__ import annotations

from dataclasses import dataclass

from drafting.errors import BadChoice

KNIFE, BOX, INVERTED = "knife", "box", "inverted"
KINDS = (KNIFE, BOX, INVERTED)
MOST = 12
"""Pleats on a quarter that can be asked for."""
NARROWEST = 16.0
"""Pleats closer together than this at the waist, mm, cannot be sewn in (common practice, no source)."""


def cloth_width(kind: str, count: int, visible: float, depth: float) -> float:
    """Cloth for ``count`` pleats showing ``visible`` each: n (v + 2 d), or n (v + 4 d)."""
    return count * (visible + folds_of(kind) * depth)


def folds_of(kind: str) -> int:
    """How many thicknesses of its depth a pleat takes: 2 for a knife, 4 for a box or inverted pleat."""
    return 2 if kind == KNIFE else 4


@dataclass(frozen=True, slots=True)
class PleatPlan:
    """Even pleats over one quarter of a skirt, at the waist seam and at the hip level, mm.

    ``share`` of its width from the centre is pleated; beyond that it is plain.
    """

    kind: str
    count: int
    waist: float  # finished width
    hip: float
    waist_depth: float
    hip_depth: float
    share: float = 1.0

    @property
    def pitch(self) -> float:
        """The distance of neighbouring pleats at the waist, folded, mm."""
        return self.share * self.waist / self.count

    def underlay(self, depth: float) -> float:
        """Cloth hidden by one pleat of that depth."""
        return folds_of(self.kind) * depth

    @property
    def waist_cloth(self) -> float:
        return self.waist + self.count * self.underlay(self.waist_depth)

    @property
    def hip_cloth(self) -> float:
        return self.hip + self.count * self.underlay(self.hip_depth)

    def stops(self, finished: float, depth: float) -> tuple[tuple[float, float], ...]:
        """Hidden stretches of cloth, from the centre outward, as (start, end); box pleats have two each."""
        pitch, hidden, at = self.share * finished / self.count, 2 * depth, 0.0
        found = []
        for _ in range(self.count):
            if self.kind == BOX:
                at += pitch / 4
                found.append((at, at + hidden))
                at += hidden + pitch / 2
                found.append((at, at + hidden))
                at += hidden + pitch / 4
            else:
                whole = self.underlay(depth)
                found.append((at + pitch / 2, at + pitch / 2 + whole))
                at += pitch + whole
        return tuple(found)

    @property
    def overlap(self) -> float:
        """How much neighbouring underlays lie upon one another at the waist, mm; 0 where they do not."""
        return max(0.0, self.waist_depth - room(self.kind, self.pitch))


def room(kind: str, pitch: float) -> float:
    """How deep a pleat may be before its underlay meets a neighbour's."""
    return {KNIFE: pitch, BOX: pitch / 4, INVERTED: pitch / 2}[kind]


def plan_pleats(
    kind: str,
    count: int,
    widths: tuple[float, float],
    depths: tuple[float, float],
    limit: float,
    *,
    share: float = 1.0,
) -> PleatPlan:
    """Return pleats that take ``hip`` in to ``waist``, each as deep at the hip as wished and possible.

    Args:
        kind: knife, box or inverted.
        count: pleats on the quarter, 1 or more.
        widths: finished width at the waist and at the hip, mm.
        depths: the wished depth at the hip and the least depth anywhere, mm.
        limit: how far neighbouring underlays may overlap, mm.
        share: of the width that is pleated, from the centre outward.

    Raises: BadChoice, field "pleats": so many pleats leave too little depth; so few would be too deep.
    """
    waist, hip = widths
    wished, least = depths
    fitting = _depths_that_fit(kind, count, widths, least, limit, share=share)
    if fitting is None:
        raise _no_such_pleats(kind, count, widths, least, limit, share=share)
    shallowest, deepest, taper = fitting
    depth = min(max(wished, shallowest), deepest - 1e-6 if deepest > shallowest else deepest)
    return PleatPlan(kind, count, waist, hip, depth + taper, depth, share)


def _depths_that_fit(
    kind: str, count: int, widths: tuple[float, float], least: float, limit: float, *, share: float
) -> tuple[float, float, float] | None:
    """The shallowest and the deepest pleat at the hip, and how much deeper it is at the waist, or None."""
    waist, hip = widths
    taper = (hip - waist) / count / folds_of(kind)
    at_waist, at_hip = share * waist / count, share * hip / count
    limit = min(limit, at_waist / 2)
    deepest = min(room(kind, at_hip) + limit, room(kind, at_waist) + limit - taper)
    shallowest = max(least, least - taper)
    if deepest < shallowest or at_waist < NARROWEST:
        return None
    return shallowest, deepest, taper


def _no_such_pleats(
    kind: str, count: int, widths: tuple[float, float], least: float, limit: float, *, share: float
) -> BadChoice:
    numbers = [n for n in range(1, MOST + 1) if _depths_that_fit(kind, n, widths, least, limit, share=share)]
    if not numbers:
        advice = "no number of them does; choose another kind of pleat"
    elif len(numbers) == 1:
        advice = f"choose {numbers[0]}, or another kind"
    else:
        advice = f"choose from {numbers[0]} to {numbers[-1]}, or another kind"
    return BadChoice(
        f"{count} {kind} pleats on each quarter do not fit a waist of {widths[0]:.0f} mm and a hip of "
        f"{widths[1]:.0f} mm: they would lie too close or overlap by more than {limit:.0f} mm; {advice}",
        field="pleats",
    )
