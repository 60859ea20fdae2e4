"""Room to walk in a straight dress: a vent at the end of the centre back seam, or slits at the sides."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.centre import centre_strokes
from drafting.blocks.sketch import Stroke
from drafting.errors import BadChoice
from drafting.geometry import Path, Point
from drafting.making import Making, Phase, run
from drafting.pattern import EdgeKind
from drafting.styles.choices import Choice

BACK_VENT, SIDE_SLITS, NO_VENT = "back vent", "side slits", "none"
WALKING = Choice(
    "walking",
    "Room to walk",
    "option",
    BACK_VENT,
    (
        (BACK_VENT, "a vent at the centre back"),
        (SIDE_SLITS, "slits at the sides"),
        (NO_VENT, "none: for a short dress"),
    ),
)
_OF_LEG = 0.6  # of the length below the hip that a vent takes at most (common practice, no source)
_SHORTEST = 40.0  # mm: a shorter vent gives no room
_SLANT = 0.3  # of its width that a vent's upper edge slants


@dataclass(frozen=True, slots=True)
class Vent:
    """``kind`` and the height from the hem at which it begins, mm."""

    kind: str
    height: float


def vent_of(making: Making, length: float, role: str = "back") -> Vent | None:
    """The vent chosen of a dress or a skirt that reaches ``length`` mm below the waist; None without.

    Raises: BadChoice, field "walking", where the dress is too short for one, or has no seam for it.
    """
    kind = making.chosen("walking", BACK_VENT)
    if kind == NO_VENT:
        return None
    height = min(making.house["vent_height"], _OF_LEG * (length - making.body["waist_to_hip"]))
    if height < _SHORTEST:
        raise BadChoice(
            f"so short a length leaves {height:.0f} mm for a vent or a slit: choose none, or make it longer",
            field="walking",
        )
    if kind == BACK_VENT and making.centre(role).kind not in {"zip", "seam"}:
        raise BadChoice(
            "a vent ends a centre back seam, and this back has none: choose slits", field="walking"
        )
    return Vent(kind, height)


def vented_centre(
    making: Making, vent: Vent, top: Point, foot: Point, *, role: str = "back", hem: str = "hem_depth"
) -> list[Stroke]:
    """Strokes of a centre back with a zip or a seam, from its top down to the start of the hem."""
    house = making.house
    width, allowance = house["vent_width"], house["seam_allowance"]
    start = Point(0.0, foot.y + vent.height)
    outer, end = Point(-width, start.y - _SLANT * width), Point(-width, foot.y)
    return [
        *centre_strokes(making.centre(role), "back", top, start, house),
        Stroke("vent top", Path.line(start, outer), EdgeKind.SEAM, allowance),
        Stroke("vent edge", Path.line(outer, end), EdgeKind.HEM, allowance),
        Stroke("vent hem", Path.line(end, foot), EdgeKind.HEM, house[hem]),
    ]


def close_vent(making: Making, role: str = "back") -> None:
    """Sew the upper ends of the vent together, and say how it is made."""
    line = run(making.shells[role], "vent top")
    making.sew(Phase.SKIRT, "top of the vent", line, line, times=1)
    making.note(
        Phase.SKIRT,
        "Vent: sew the centre back seam and on across the top of the vent, clip into the corner of the under "
        "back, press the vent to the wearer's left and stitch its top through all layers.",
    )


def slit_sides(making: Making, vent: Vent, roles: tuple[str, str] = ("front", "back")) -> None:
    """End the side seams above the hem."""
    for side in roles:
        sketch = making.shell(side)
        edge = making.lines[f"{side} side"][-1].edge
        stroke = sketch.stroke(edge)
        sewn, free = stroke.path.split_at(stroke.path.length - vent.height)
        parts = [
            Stroke(edge, sewn, EdgeKind.SEAM, stroke.allowance),
            Stroke("slit", free, EdgeKind.HEM, stroke.allowance),
        ]
        names = [each.name for each in sketch.strokes]
        upward = names.index("hem") < names.index(edge)  # the ring may run either way round
        sketch.put(edge, *(parts[::-1] if upward else parts))
    making.note(
        Phase.HEM,
        "Slits: press the side allowances open, fasten the end of the side seam with a bar, and stitch the "
        "allowances back on both sides of the slit; then the hem.",
    )
