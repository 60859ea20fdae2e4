"""How an armhole without a sleeve is finished."""

from __future__ import annotations

from itertools import pairwise

from drafting.blocks.rules import neck_width_for, proportion
from drafting.details.armhole import Armhole, armhole_facing, binding_strip, facing_widths
from drafting.details.bias import joining_note, part_names, strip_parts
from drafting.making import Corner, Making, Phase, Run, Step, back_along, run
from drafting.pattern import Method

FACED, BOUND = "facing", "binding"
FINISH_LABELS = {FACED: "faced", BOUND: "bound with a bias strip"}
_SIDES = ("front", "back")
_PLAIN = 0.05  # mm: a cap with less ease than this is sewn plain
_MOST_EASED = 0.15  # of the armhole; more is gathered (common practice, no source)


def round_armhole(front: Run, back: Run) -> Run:
    """All round an armhole: up the front from the underarm and down the back."""
    return back_along(front) + back


def armhole_notches(making: Making, side: str) -> list[tuple[float, int]]:
    """The notches of an armhole of the shell, as (mm from the shoulder, count)."""
    found, walked = [], 0.0
    for step in making.lines[f"{side} armhole"]:
        sketch = making.sketches[step.piece]
        length = sketch.path(step.edge).length
        for edge, at, count in sketch.notches:
            if edge == step.edge:
                found.append((walked + (length - at if step.backward else at), count))
        walked += length
    return sorted(found)


def child_share(making: Making) -> float:
    """How far estimated widths shrink for a child: 1 for everybody else."""
    body = making.body
    neck = neck_width_for(body["armscye_depth"], body["neck_base_girth"], making.house)
    return proportion(neck)


def face_armholes(making: Making) -> None:
    """Draw front and back armhole facings and face the armholes with them."""
    names = {side: f"{side} armhole facing" for side in _SIDES}
    armholes = {side: _armhole(making, side) for side in _SIDES}
    widths = facing_widths(making.house["facing_width"] * child_share(making), *armholes.values())
    for side, name in names.items():
        facing = armhole_facing(name, armholes[side], widths, making.house, is_front=side == "front")
        for at, count in armhole_notches(making, side):
            facing.notch("armhole", at, count)
        making.add(facing)
    front, back = names["front"], names["back"]
    for seam in ("shoulder", "side"):
        edge = f"facing {seam}"
        making.sew(Phase.FACINGS, f"{seam} of the armhole facing", run(front, edge), run(back, edge))
        corners = (Corner(name, "facing inner", edge) for name in (front, back))
        making.smooth(f"armhole facing at the {seam}", *corners)
    # Said in the phase of the sides, whose seams come first: the facing is set into a closed armhole.
    making.sew(
        Phase.SIDES,
        "armhole",
        _shell(making),
        round_armhole(run(front, "armhole"), run(back, "armhole")),
        Method.FACED,
    )
    making.note(
        Phase.SIDES,
        "Join the armhole facings at shoulder and side, neaten their free edges, sew them round the "
        "armholes, clip the curve, understitch and turn; catch them down at shoulder and side seams.",
    )


def bind_armholes(making: Making) -> None:
    """Cut a bias strip, in parts where it is long, and bind the armholes with it."""
    around = _shell(making)
    length = making.run_length(around)
    names = _binding(making, length)
    along, inner = (tuple(Step(name, edge) for name in names) for edge in ("armhole", "inner"))
    for one, other in pairwise((*names, names[0])):
        making.sew(Phase.SIDES, f"ends of the {one}", run(other, "start"), run(one, "end"))
    making.sew(Phase.SIDES, "armhole", around, along, Method.FACED)
    making.sew(Phase.SIDES, "inner edge of the binding", inner, along, Method.LINED)
    if len(names) > 1:
        making.note(Phase.SIDES, joining_note("armhole binding", length, len(names)))
    making.note(
        Phase.SIDES,
        "Join the bias strip to a ring, its ends at the underarm; sew it round the armhole right sides "
        "together, fold it over the edge and sew its turned-in inner edge down on the seam.",
    )


def _binding(making: Making, length: float) -> list[str]:
    """Add the strip in equal parts, with the notches of the armhole; return their names in order."""
    count = strip_parts(length, making.house["bias_longest"])
    names = part_names("armhole binding", count)
    part = length / count
    strips = [making.add(binding_strip(name, part, making.house["binding_width"])) for name in names]
    reach = making.run_length(making.lines["front armhole"])
    places = [(reach - at, n) for at, n in armhole_notches(making, "front")]
    places += [(reach + at, n) for at, n in armhole_notches(making, "back")]
    for at, n in places:
        k = min(int(at / part), count - 1)
        strips[k].notch("armhole", at - k * part, n)
    return names


def sew_cap(making: Making, phase: Phase, name: str, cap: Run, around: Run) -> Method:
    """Sew a sleeve's cap to an armhole, as its ease asks; return how."""
    armhole = making.run_length(around)
    ease = making.run_length(cap) - armhole
    method = (
        Method.PLAIN if ease < _PLAIN else Method.EASED if ease < _MOST_EASED * armhole else Method.GATHERED
    )
    making.sew(phase, name, cap, around, method, ease=ease if method is not Method.PLAIN else 0.0)
    return method


def _armhole(making: Making, side: str) -> Armhole:
    first = making.lines[f"{side} side"][0]
    return Armhole(
        making.run_path(f"{side} shoulder"),
        making.run_path(f"{side} armhole"),
        making.sketches[first.piece].path(first.edge),
    )


def _shell(making: Making) -> Run:
    return round_armhole(making.lines["front armhole"], making.lines["back armhole"])
