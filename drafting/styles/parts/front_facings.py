"""The facing of a buttoned front: one piece from the shoulder to the lower edge, under its buttons."""

from __future__ import annotations

from dataclasses import replace

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.neck_facings import buttoned_inner
from drafting.geometry import Point
from drafting.making import Making, Phase, run
from drafting.pattern import Cut, EdgeKind, Method
from drafting.styles.parts.armholes import child_share
from drafting.styles.parts.facing_lines import allowances, facing_widths, neck_and_shoulder, part_edge


def buttoned_facing(making: Making, *, caught: bool) -> None:
    """One facing from the shoulder to the lower edge, which carries buttons or buttonholes.

    ``caught``: its neck edge is caught in a seam that something else finishes.
    """
    shell = making.shell("front")
    neck, shoulder = neck_and_shoulder(making, "front")
    _, on_shoulder = facing_widths(making)
    low = _lower_edge(making)
    faced = shoulder.split_at(on_shoulder)[0]
    inner = buttoned_inner(neck, faced, low.path.end, low.path.end_tangent)
    stand = _stand(shell)
    widths, pair = allowances(making), Cut("shell", 2, mirrored=True)
    top, foot = neck.end, low.path.start
    x = 0.3 * low.path.end.x
    making.add(
        Sketch(
            "front facing",
            [
                low,
                Stroke("facing inner", inner, EdgeKind.HEM, widths.free),
                # Without a back neck facing the end at the shoulder is turned in and caught there.
                Stroke("facing shoulder", faced, EdgeKind.HEM if caught else EdgeKind.SEAM, widths.seam),
                Stroke("neck", neck, EdgeKind.SEAM, widths.neck),
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
    return part_edge(making, first, width, (f"{first.edge} faced", first.edge))


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
