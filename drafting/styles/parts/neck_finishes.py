"""What finishes a neckline: a shaped facing, a bias strip, a lining, or a collar that encloses it.

The free edges of facings are the lines "front facing inner" (shoulder to centre or lower edge) and "back
facing inner"; ``join_to_lining`` turns one into a seam.
"""

from __future__ import annotations

from dataclasses import replace

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.neck_facings import (
    Allowances,
    Faced,
    back_faced,
    bias_strip,
    buttoned_inner,
    faced_shoulder,
    front_faced,
    neck_facing,
)
from drafting.geometry import Path, Point, distance
from drafting.making import Corner, Making, Phase, Run, Step, back_along, centre_strokes, run
from drafting.pattern import Cut, EdgeKind, MarkKind, Method, NotionNeed
from drafting.styles.parts.armholes import child_share

FACING, BIAS, LINING = "facing", "bias strip", "lining"
FINISHES = {
    FACING: "a facing",
    BIAS: "a bias strip turned to the inside",
    LINING: "the lining",
}
ENCLOSING = ("stand", "shirt", "tie")
"""Collars whose inner layer encloses the neckline's seam: no neck facing is needed."""

_MEETS = 1e-6  # mm
_LEAST_STRIP = 6.0  # mm: a narrower one cannot be turned


def finish_neck(making: Making, kind: str, *, slit: float = 0.0) -> None:
    """Finish front and back neckline; ``slit`` is the length of a keyhole below the front neckline, mm."""
    enclosed = making.chosen("collar") in ENCLOSING
    if making.centre("front").kind == "buttons":
        _buttoned_facing(making, caught=enclosed or kind == LINING)
    if enclosed or kind == LINING:
        return
    if kind == BIAS:
        _bind(making)
        return
    if making.centre("front").kind != "buttons":
        _front_facing(making, slit)
    _back_facing(making)
    _join_facings(making)


def _allowances(making: Making) -> Allowances:
    house = making.house
    return Allowances(house["seam_allowance"], house["enclosed_allowance"], house["enclosed_allowance"])


def _neck_and_shoulder(making: Making, side: str) -> tuple[Path, Path]:
    """The neckline as one path, and the first edge of the shoulder: a facing ends within it."""
    first = making.lines[f"{side} shoulder"][0]
    return making.run_path(f"{side} neck"), making.sketches[first.piece].path(first.edge)


def _widths(making: Making) -> tuple[float, float]:
    """Of the facings at the centre and on the shoulder, mm; alike on front and back."""
    width = making.house["facing_width"] * child_share(making)
    shoulders = [_neck_and_shoulder(making, side)[1] for side in ("front", "back")]
    return width, min(faced_shoulder(shoulder, width) for shoulder in shoulders)


def _front_facing(making: Making, slit: float) -> None:
    neck, shoulder = _neck_and_shoulder(making, "front")
    width, on_shoulder = _widths(making)
    width = min(width, 0.6 * neck.end.y)
    faced = front_faced(neck, shoulder, width, on_shoulder=on_shoulder, below=slit)
    _add_facing(making, "front", neck, faced)
    if slit:
        _keyhole(making, "front neck facing", slit)
        _keyhole(making, making.shells["front"], slit)
        diameter = min(making.house["button_diameter"], 12.7)
        making.notions.append(NotionNeed("button", 1, diameter, "at the top of the keyhole"))
        making.note(
            Phase.NECK,
            "Keyhole: mark it on the facing, sew along it with small stitches together with the neckline, "
            "cut between them to the point, turn; work a thread loop at its top and sew on the button.",
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
    neck, shoulder = _neck_and_shoulder(making, "back")
    width, on_shoulder = _widths(making)
    _add_facing(making, "back", neck, back_faced(neck, shoulder, width, on_shoulder=on_shoulder))


def _add_facing(making: Making, side: str, neck: Path, faced: Faced) -> None:
    """A facing whose centre is that of its side, sewn to the neckline."""
    centre, name = making.centre(side), f"{side} neck facing"
    strokes = centre_strokes(centre, side, neck.end, faced.inner.end, making.house)
    cuts = (centre.cut(), centre.cut("interfacing"))
    making.add(neck_facing(name, neck, faced, strokes, cuts=cuts, widths=_allowances(making)))
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


def _buttoned_facing(making: Making, *, caught: bool) -> None:
    """One facing from the shoulder to the lower edge, which carries buttons or buttonholes.

    ``caught``: its neck edge is caught in a seam that something else finishes.
    """
    shell = making.shell("front")
    neck, shoulder = _neck_and_shoulder(making, "front")
    _, on_shoulder = _widths(making)
    low = _lower_edge(making)
    faced = shoulder.split_at(on_shoulder)[0]
    inner = buttoned_inner(neck, faced, low.path.end, low.path.end_tangent)
    stand = _stand(shell)
    allowances, pair = _allowances(making), Cut("shell", 2, mirrored=True)
    top, foot = neck.end, low.path.start
    x = 0.3 * low.path.end.x
    making.add(
        Sketch(
            "front facing",
            [
                low,
                Stroke("facing inner", inner, EdgeKind.HEM, allowances.free),
                # Without a back neck facing the end at the shoulder is turned in and caught there.
                Stroke("facing shoulder", faced, EdgeKind.HEM if caught else EdgeKind.SEAM, allowances.seam),
                Stroke("neck", neck, EdgeKind.SEAM, allowances.neck),
                *stand,
            ],
            (pair, Cut("interfacing", 2, mirrored=True)),
            (Point(x, foot.y + 0.1 * (top.y - foot.y)), Point(x, foot.y + 0.6 * (top.y - foot.y))),
            is_front=True,
        )
    )
    making.lines["front facing inner"] = run("front facing", "facing inner")
    _sew_buttoned(making, shell, low, stand, caught=caught)


def _stand(shell: Sketch) -> list[Stroke]:
    """The strokes of a button stand: its top, its edge, its foot."""
    names = [stroke.name for stroke in shell.strokes]
    at = names.index("front edge")
    count = len(names)
    around = [shell.strokes[(at + k) % count] for k in (-1, 0, 1)]
    return around if around[0].name == "neck extension" else around[::-1]


def _lower_edge(making: Making) -> Stroke:
    """What of the front's waist or hem the facing covers, from the centre outward.

    A waist is parted there, so that the facing is caught in its seam; a hem turns up over it.
    """
    shell = making.shell("front")
    line = "front waist" if "front waist" in making.lines else "front hem"
    first = making.lines[line][0]
    stroke = shell.stroke(first.edge)
    width = min(making.house["front_facing_width"] * child_share(making), 0.72 * stroke.path.length)
    if stroke.kind is EdgeKind.HEM:
        return replace(stroke, path=stroke.path.split_at(width)[0])
    return part_edge(making, first, width, f"{first.edge} faced")


def part_edge(making: Making, step: Step, at: float, name: str) -> Stroke:
    """Split an edge ``at`` mm from its start; the first part is called ``name``, the rest keeps its own."""
    sketch = making.sketches[step.piece]
    stroke = sketch.stroke(step.edge)
    head, tail = stroke.path.split_at(at)
    first, rest = replace(stroke, name=name, path=head), replace(stroke, path=tail)
    before = sketch.strokes[sketch.strokes.index(stroke) - 1].path
    from_start = min(distance(end, head.start) for end in (before.start, before.end)) <= _MEETS
    sketch.put(step.edge, *((first, rest) if from_start else (rest, first)))
    making.renamed(step, run(step.piece, name, step.edge))
    return first


def _sew_buttoned(making: Making, shell: Sketch, low: Stroke, stand: list[Stroke], *, caught: bool) -> None:
    facing, top, foot = "front facing", stand[0].name, stand[2].name
    # A shirt's stand sits on the whole top of the button stand; other collars end at the centre.
    whole = not caught or making.chosen("collar") == "shirt"
    making.sew(
        Phase.NECK,
        "front facing at the neck" if caught else "front neck",
        run(facing, "neck") + (run(facing, top) if whole else ()),
        making.lines["front neck"] + (run(shell.name, top) if whole else ()),
        Method.LINED if caught else Method.FACED,
    )
    if not whole:
        making.sew(
            Phase.NECK, "top of the button stand", run(facing, top), run(shell.name, top), Method.FACED
        )
    making.sew(
        Phase.NECK, "front edge", run(facing, "front edge"), run(shell.name, "front edge"), Method.FACED
    )
    making.note(
        Phase.NECK,
        "Front facing: interface it and neaten its free edge; sew it down the front edge and along what it "
        "faces of the neckline, grade, clip, turn, and press the edge so that the seam rolls under.",
    )
    if low.kind is EdgeKind.HEM:
        return
    making.sew(
        Phase.WAIST,
        "front facing at the waist",
        run(facing, foot, low.name),
        run(shell.name, foot, low.name),
        Method.LINED,
    )


def _bind(making: Making) -> None:
    """A strip on the bias for the whole neckline; its ends are joined where the garment has no opening."""
    half: Run = making.lines["front neck"] + back_along(making.lines["back neck"])
    joined = not any(making.centre(side).kind == "zip" for side in ("front", "back"))
    width = max(making.house["binding_width"] * child_share(making), _LEAST_STRIP)
    length = 2 * making.run_length(half)
    making.add(bias_strip("neck strip", length, width, joined=joined, widths=_allowances(making)))
    whole = back_along(half) + half
    making.sew(Phase.NECK, "neckline", run("neck strip", "neck strip"), whole, Method.FACED, times=1)
    if joined:
        ends = run("neck strip", "strip start"), run("neck strip", "strip end")
        making.sew(Phase.FACINGS, "ends of the neck strip", *ends, times=1)
    making.note(
        Phase.NECK,
        "Bias strip: press its free edge under, sew it to the neckline right sides together, stretching it a "
        "little around the curve; trim, turn it wholly to the inside and edge-stitch it.",
    )


def join_to_lining(making: Making, side: str) -> Run:
    """Turn a facing's free edge into a seam and return it, from the shoulder onward. Raises: KeyError."""
    line = making.lines[f"{side} facing inner"]
    for step in line:
        sketch = making.sketches[step.piece]
        stroke = sketch.stroke(step.edge)
        sketch.put(step.edge, replace(stroke, kind=EdgeKind.SEAM, allowance=making.house["seam_allowance"]))
    return line
