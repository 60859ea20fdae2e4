"""A zip in the left side of a dress: from below the armhole over the waist to the hip."""

from __future__ import annotations

from dataclasses import dataclass, replace

from drafting.errors import BadChoice
from drafting.making import Making, Phase, Run, run
from drafting.pattern import Method, NotionNeed
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.armholes import child_share
from drafting.styles.parts.closures import SIDE_ZIP, zip_remark, zip_setting
from drafting.styles.parts.line_places import put_along, reached

_SIDES = ("front", "back")
_CLOSED = 60.0  # mm of side that stays sewn below a grown armhole (common practice, no source)
_OFF = 10.0  # mm between the zip and a dart, or the end of an edge
_LEAST = 20.0  # mm of zip above the seam, or of zip at all


@dataclass(frozen=True, slots=True)
class SideZipIn:
    """Opens the left side of the upper; comes after the skirt, whose side it carries on."""

    choices: tuple[Choice, ...] = ()
    needs: tuple[str, ...] = ("waist_to_hip",)
    clashes: tuple[Clash, ...] = (
        Clash(
            "closure",
            (SIDE_ZIP,),
            "walking",
            ("back vent",),
            "A vent ends the centre back seam, and a back without a zip has none: choose slits.",
        ),
    )

    def make(self, making: Making) -> None:
        """Part the left side and set the zip."""
        if making.chosen("closure") != SIDE_ZIP:
            return
        top, foot = _stretch(making)
        parts = {side: _parted(making, side, top, foot) for side in _SIDES}
        _sew(making, parts)


def _stretch(making: Making) -> tuple[float, float]:
    """Where the zip begins and ends on the side of the upper, mm from its lower end upward.

    Raises: BadChoice, field "closure", where the side is too short for one.
    """
    back = making.run_path("back side")
    top, foot = back.length - reached(back, making.house["side_zip_above_waist"]), 0.0
    if "back waist" not in making.lines:
        depth = min(making.house["zip_below_waist"], making.body["waist_to_hip"])
        foot = back.length - reached(back, -depth)
    # Front and back are as long from their lower ends up to the bust dart.
    lowest = making.run_length(making.lines["front side"][-1:])
    most = min(lowest - _OFF, back.length - _CLOSED * child_share(making))
    if most < foot + _LEAST:
        raise BadChoice(
            "below the armhole, or below its bust dart, the side is too short for a zip; choose a zip at the "
            "centre back",
            field="closure",
        )
    return min(max(top, foot + _LEAST), most), foot


def _parted(making: Making, side: str, top: float, foot: float) -> dict[str, Run]:
    """Part the lowest edge of a side above and below the zip; each part by its name, downward."""
    *others, last = making.lines[f"{side} side"]
    sketch = making.sketches[last.piece]
    stroke = sketch.stroke(last.edge)
    above, rest = stroke.path.split_at(stroke.path.length - top)
    parts = {"above": above, "zip": rest}
    if foot > 0:
        parts["zip"], parts["below"] = rest.split_at(rest.length - foot)
    strokes = [replace(stroke, name=f"{last.edge} {name}", path=path) for name, path in parts.items()]
    put_along(sketch, last.edge, strokes)
    making.renamed(last, run(last.piece, *(one.name for one in strokes)))
    found = {name: run(last.piece, f"{last.edge} {name}") for name in parts}
    return found | {"above": (*others, *found["above"])}


def _sew(making: Making, parts: dict[str, dict[str, Run]]) -> None:
    """The right side in one, the left above and below the zip, then the zip over the waist seam."""
    making.sewn_once("side", "right side")
    for place in ("above", "below"):
        if all(place in parts[side] for side in _SIDES):
            front, back = (parts[side][place] for side in _SIDES)
            making.sew(Phase.SIDES, f"left side, {place} the zip", front, back, times=1)
    front, back = (parts[side]["zip"] + making.lines.get(f"skirt {side} zip", ()) for side in _SIDES)
    making.sew(Phase.CLOSURE, "left side", front, back, Method.ZIP, times=1)
    length = making.run_length(back)
    making.notions.append(NotionNeed("zip", 1, length, f"left side, {zip_remark(making)}"))
    lined = " Fell the lining to its tapes." if making.chosen("lining", "none") != "none" else ""
    making.note(
        Phase.CLOSURE,
        "Zip at the left side, closed at both ends, the waist seams on one another: "
        f"{zip_setting(making)}.{lined}",
    )
