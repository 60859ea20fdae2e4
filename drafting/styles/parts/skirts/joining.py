"""How the panels of a skirt are sewn together, hung from their waist, and measured."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import ceil

from drafting.blocks.sketch import Stroke
from drafting.errors import BadChoice
from drafting.making import Corner, Making, Phase, Run, Width, run
from drafting.pattern import Finished, Method, NotionNeed
from drafting.styles.parts.closures import SIDE_ZIP, zip_remark, zip_setting
from drafting.styles.parts.skirts.hanging import SIDES, Hang
from drafting.styles.parts.uppers import meeting

_LEAST_ZIP = 40.0  # mm of a side zip below a dropped seam (common practice, no source)


def hang_up(
    making: Making, hung: Hang, method: Method, ease: Mapping[str, float], *, hem: float | None = None
) -> None:
    """Join panels that were added: sides, waist seam, what runs on across them; measure what was made.

    ``ease`` is what front and back have more cloth at the waist than the seam they are joined to, mm; ``hem``
    is the hem all round where these panels do not end in it.
    """
    for side in SIDES:
        join_waist(making, side, f"skirt {side}", method, ease=ease[side])
    close_sides(making, ("skirt front", "skirt back"), "of the skirt")
    waists = (meeting(making, f"skirt {side}", "waist", "side") for side in SIDES)
    making.smooth("waist of the skirt at the side", *waists)
    making.smooth("hem of the skirt at the side", *(_hem_corner(making, side) for side in SIDES))
    making.finished.append(Finished("skirt length", hung.length - hung.top, making.body["waist_to_knee"]))
    making.finished.append(Finished("hem of the skirt, all round", hem or _hem_round(making)))


def _hem_corner(making: Making, side: str) -> Corner:
    """Where the hem meets the side, or the slit that the side ends in."""
    found = meeting(making, f"skirt {side}", "hem", "side", last=True)
    if making.sketches[found.piece].adjoin(found.one, found.other):
        return found
    return Corner(found.piece, found.one, "slit")


def _hem_round(making: Making) -> float:
    total = 2 * sum(making.run_length(making.lines[f"skirt {side} hem"]) for side in SIDES)
    centre = making.centre("skirt front")
    return total - 2 * centre.extension


def join_waist(
    making: Making, side: str, role: str, method: Method, *, ease: float, phase: Phase = Phase.WAIST
) -> None:
    """Join a panel's waist to the line that it hangs from; a waistband has one for each half."""
    own = making.lines[f"{role} waist"]
    name = f"waist, {side}" if role == f"skirt {side}" else f"waist of the {role}"
    right, left = making.lines[f"{side} waist"], making.lines.get(f"{side} waist left")
    times = 1 if left else 2
    making.sew(phase, name, own, right, method, times=times, ease=ease)
    if left:
        making.sew(phase, f"{name}, left", own, left, method, times=1, ease=ease)


def close_sides(
    making: Making, roles: tuple[str, str], of: str, phase: Phase = Phase.SKIRT, at_zip: Method = Method.ZIP
) -> None:
    """Sew the side seams of two roles; with a zip at the left side, as far as it leaves them."""
    if making.chosen("closure") != SIDE_ZIP:
        front, back = (making.lines[f"{role} side"] for role in roles)
        making.sew(phase, f"side {of}", front, back)
        return
    depth = side_zip_depth(making)
    (above, below), (other_above, other_below) = (_opened(making, role, depth) for role in roles)
    making.sew(phase, f"right side {of}, above", above, other_above, times=1)
    making.sew(phase, f"side {of}", below, other_below)
    if at_zip is Method.ZIP and "front" in making.shells:  # the zip begins in the upper: it is set there
        making.lines |= {f"{role} zip": line for role, line in zip(roles, (above, other_above), strict=True)}
        return
    making.sew(Phase.CLOSURE, f"left side {of}", above, other_above, at_zip, times=1)
    if at_zip is Method.ZIP:
        making.notions.append(
            NotionNeed("zip", 1, making.run_length(above), f"left side, {zip_remark(making)}")
        )
        making.note(Phase.CLOSURE, f"Zip at the left side: {zip_setting(making)}.")


def side_zip_depth(making: Making) -> float:
    """How far a side zip reaches below the seam that the skirt hangs from: to the hip level at most, mm."""
    depth = min(making.house["zip_below_waist"], making.body["waist_to_hip"])
    return max(depth + making.waist_height, _LEAST_ZIP)


def _opened(making: Making, role: str, depth: float) -> tuple[Run, Run]:
    """Part the first edge of a side ``depth`` mm below its top; what lies above, and all that lies below."""
    first, *others = making.lines[f"{role} side"]
    sketch = making.sketches[first.piece]
    stroke = sketch.stroke(first.edge)
    above, below = stroke.path.split_at(min(depth, 0.8 * stroke.path.length))
    names = f"{first.edge} above", f"{first.edge} below"
    parts = [Stroke(n, p, stroke.kind, stroke.allowance) for n, p in zip(names, (above, below), strict=True)]
    sketch.put(first.edge, *parts)
    making.renamed(first, run(first.piece, *names))
    return run(first.piece, names[0]), (*run(first.piece, names[1]), *others)


def hip_girth(making: Making, widths: Iterable[Width], spread: float = 0.0) -> None:
    """Say what a fitted skirt measures at the hip; ``spread`` is what was opened there, all round, mm."""
    body, ease = making.body["hip_girth"], making.house["hip_ease"] + spread
    making.girth("hip", body, ease, *widths)
    if all(finished.name != "hip" for finished in making.finished):
        making.finished.append(Finished("hip", body + ease, body))


def refuse_tight_hip(making: Making, hung: Hang, round_hip: float, advice: str, field: str) -> None:
    """Raises: BadChoice where a skirt that is not fitted is narrower at the hip than the wearer and ease."""
    wanted = making.body["hip_girth"] + making.house["hip_ease"]
    if hung.reaches_hip and hung.length > hung.hip_level and round_hip < wanted - 1.0:
        raise BadChoice(
            f"the skirt would be {round_hip:.0f} mm at the hip, where the wearer needs {ceil(wanted):d} mm; "
            f"{advice}",
            field=field,
        )
