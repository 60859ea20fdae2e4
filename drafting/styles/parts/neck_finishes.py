"""What finishes a neckline: a shaped facing, a bias strip, a lining, or a collar that encloses it.

The free edges of facings are the lines "front facing inner" (shoulder to centre or lower edge) and "back
facing inner"; ``join_to_lining`` turns one into a seam.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from drafting.blocks.centre import centre_strokes
from drafting.blocks.sketch import Stroke
from drafting.details.belts import button_loop
from drafting.details.bias import joining_note, part_names, strip_parts
from drafting.details.buttons import Button
from drafting.details.neck_facings import (
    Faced,
    Joined,
    back_faced,
    bias_strip,
    front_faced,
    neck_facing,
)
from drafting.geometry import Path, Point
from drafting.making import Corner, Making, Phase, Run, Step, back_along, run
from drafting.pattern import Cut, EdgeKind, MarkKind, Method, NotionNeed
from drafting.styles.parts.armholes import child_share
from drafting.styles.parts.facing_lines import allowances, facing_widths, neck_and_shoulder
from drafting.styles.parts.front_facings import buttoned_facing
from drafting.styles.parts.plackets import add_placket, beside_placket, has_placket

FACING, BIAS, LINING = "facing", "bias strip", "lining"
FINISHES = {
    FACING: "a facing",
    BIAS: "a bias strip turned to the inside",
    LINING: "the lining",
}
ENCLOSING = ("stand", "shirt", "tie")
"""Collars whose inner layer encloses the neckline's seam: no neck facing is needed."""

_LEAST_STRIP = 6.0  # mm: a narrower one cannot be turned


def finish_neck(making: Making, kind: str, *, slit: float = 0.0) -> None:
    """Finish front and back neckline; ``slit`` is the length of a keyhole below the front neckline, mm."""
    enclosed = making.chosen("collar") in ENCLOSING
    if has_placket(making):
        add_placket(making, in_collar=making.chosen("collar") == "shirt")
    elif making.centre("front").kind == "buttons":
        buttoned_facing(making, caught=enclosed or kind == LINING)
    if enclosed or kind == LINING:
        return
    if kind == BIAS:
        _bind(making)
        return
    if has_placket(making):
        _facing_beside_placket(making)
    elif making.centre("front").kind != "buttons":
        _front_facing(making, slit)
    _back_facing(making)
    _join_facings(making)


def _facing_beside_placket(making: Making) -> None:
    """Half a facing from the shoulder to the placket, its end turned in beneath that."""
    line, name = beside_placket(making), "front neck facing"
    _, shoulder = neck_and_shoulder(making, "front")
    neck = making.sketches[line[0].piece].path(line[0].edge)
    width, on_shoulder = facing_widths(making)
    faced = front_faced(neck, shoulder, min(width, 0.6 * neck.end.y), on_shoulder=on_shoulder)
    widths, pair = allowances(making), Cut("shell", 2, mirrored=True)
    end = Stroke("facing end", Path.line(neck.end, faced.inner.end), EdgeKind.HEM, widths.free)
    cuts = (pair, Cut("interfacing", 2, mirrored=True))
    making.add(neck_facing(name, neck, faced, [end], cuts=cuts, widths=widths))
    making.lines["front facing inner"] = back_along(run(name, "facing inner"))
    making.sew(Phase.NECK, "front neck", run(name, "neck"), line, Method.FACED)


def _front_facing(making: Making, slit: float) -> None:
    neck, shoulder = neck_and_shoulder(making, "front")
    width, on_shoulder = facing_widths(making)
    width = min(width, 0.6 * neck.end.y)
    faced = front_faced(neck, shoulder, width, on_shoulder=on_shoulder, below=slit)
    _add_facing(making, "front", neck, faced)
    if slit:
        _keyhole(making, "front neck facing", slit)
        _keyhole(making, making.shells["front"], slit)
        button = Button(min(making.house["button_diameter"], 12.7), making.house["button_thickness"])
        making.notions.append(NotionNeed("button", 1, button.diameter, "at the top of the keyhole"))
        loop = making.add(button_loop(button.hole, making.house)).name
        edges = run(loop, "long edge left"), run(loop, "long edge right")
        making.sew(Phase.FACINGS, loop, *edges, Method.ENCLOSED, times=1)
        making.note(
            Phase.NECK,
            "Keyhole: mark it on the facing, sew along it with small stitches together with the neckline, "
            "the turned button loop caught at its top with both ends, cut between them to the point, turn; "
            "sew on the button.",
        )


def _keyhole(making: Making, piece: str, slit: float) -> None:
    """Mark half of the keyhole beside the fold: a drop, open at the neckline."""
    sketch = making.sketches[piece]
    top = making.run_path("front neck").end
    foot = top - Point(0.0, slit)
    bulge = 0.16 * slit
    drop = Path.cubic(top, top - Point(-0.2 * bulge, 0.6 * slit), foot + Point(1.8 * bulge, 0.0), foot)
    sketch.mark("keyhole: sew along it, then cut out", MarkKind.GUIDE, drop)


def _back_facing(making: Making) -> None:
    neck, shoulder = neck_and_shoulder(making, "back")
    width, on_shoulder = facing_widths(making)
    slit = making.centre("back").depth if making.centre("back").kind == "fold" else 0.0
    faced = back_faced(neck, shoulder, width, on_shoulder=on_shoulder, below=slit)
    _add_facing(making, "back", neck, faced)
    if slit:
        _back_slit(making, slit)


def _back_slit(making: Making, length: float) -> None:
    """Mark the slit beside the fold of back and facing; it closes with a hook and an eye."""
    top = making.run_path("back neck").end
    for piece in ("back neck facing", making.shells["back"]):
        line = Path.line(top, top - Point(0.0, length))
        making.sketches[piece].mark("slit: sew beside it, then cut along it", MarkKind.GUIDE, line)
    making.notions.append(NotionNeed("hook", 1, None, "hook and eye at the top of the slit"))
    making.note(
        Phase.NECK,
        "Slit at the back: mark it on the facing; together with the neckline sew down 3 mm beside it with "
        "small stitches, across its foot and up the other side, cut between them to the corners, turn and "
        "press; set hook and eye at its top.",
    )


def _add_facing(making: Making, side: str, neck: Path, faced: Faced) -> None:
    """A facing whose centre is that of its side, sewn to the neckline."""
    centre, name = making.centre(side), f"{side} neck facing"
    strokes = centre_strokes(centre, side, neck.end, faced.inner.end, making.house)
    cuts = (centre.cut(), centre.cut("interfacing"))
    making.add(neck_facing(name, neck, faced, strokes, cuts=cuts, widths=allowances(making)))
    making.lines[f"{side} facing inner"] = back_along(run(name, "facing inner"))
    if centre.kind == "seam":
        line = run(name, f"centre {side}")
        making.sew(Phase.FACINGS, f"centre of the {name}", line, line, times=1)
    making.sew(Phase.NECK, f"{side} neck", run(name, "neck"), making.lines[f"{side} neck"], Method.FACED)
    if _is_square(faced, neck):
        making.square(f"free edge of the {name}", Corner(name, "facing inner", f"centre {side}"))


def _is_square(faced: Faced, neck: Path) -> bool:
    """Whether the free edge crosses the centre squarely, as the neckline does: a V's does not."""
    return abs(faced.inner.end_tangent.y) < 0.01 and abs(neck.end_tangent.y) < 0.01


def _join_facings(making: Making) -> None:
    """At the shoulders, before they meet the garment."""
    front, back = (making.lines[f"{side} facing inner"][0].piece for side in ("front", "back"))
    making.sew(
        Phase.FACINGS,
        "shoulder of the facings",
        run(front, "facing shoulder"),
        run(back, "facing shoulder"),
    )
    making.smooth(
        "free edge of the neck facings at the shoulder",
        *(Corner(piece, "facing inner", "facing shoulder") for piece in (front, back)),
    )
    making.note(
        Phase.NECK,
        "Neck facing: interface it and neaten its free edge; sew it to the neckline right sides together, "
        "grade, clip the curves (to the stitching in a corner), understitch, and catch it at the shoulder "
        "seams.",
    )


def _bind(making: Making) -> None:
    """A strip on the bias for the whole neckline; its ends are joined where the garment has no opening."""
    half: Run = beside_placket(making) + back_along(making.lines["back neck"])
    joined = not (making.centre("front").parted or making.centre("back").kind == "zip")
    width = max(making.house["binding_width"] * child_share(making), _LEAST_STRIP)
    length = 2 * making.run_length(half)
    strips = _strips(making, length, width, ring=joined)
    whole = back_along(half) + half
    along = tuple(Step(name, "neck strip") for name in strips)
    making.sew(Phase.NECK, "neckline", along, whole, Method.FACED, times=1)
    for one, other in pairwise((*strips, strips[0]) if joined else strips):
        ends = run(one, "strip end"), run(other, "strip start")
        making.sew(Phase.FACINGS, f"end of the {one}", *ends, times=1)
    if len(strips) > 1:
        making.note(Phase.FACINGS, joining_note("neck strip", length, len(strips)))
    making.note(
        Phase.NECK,
        "Bias strip: press its free edge under, sew it to the neckline right sides together, stretching it a "
        "little around the curve; trim, turn it wholly to the inside and edge-stitch it.",
    )


def _strips(making: Making, length: float, width: float, *, ring: bool) -> list[str]:
    """Add the strip, in equal parts where it is longer than is cut in one; return their names in order."""
    count = strip_parts(length, making.house["bias_longest"])
    names = part_names("neck strip", count)
    for k, name in enumerate(names):
        ends = Joined(start=ring or k > 0, end=ring or k < count - 1)
        making.add(bias_strip(name, length / count, width, joined=ends, widths=allowances(making)))
    return names


def join_to_lining(making: Making, side: str) -> Run:
    """Turn a facing's free edge into a seam and return it, from the shoulder onward. Raises: KeyError."""
    line = making.lines[f"{side} facing inner"]
    for step in line:
        sketch = making.sketches[step.piece]
        stroke = sketch.stroke(step.edge)
        sketch.put(step.edge, replace(stroke, kind=EdgeKind.SEAM, allowance=making.house["seam_allowance"]))
    return line
