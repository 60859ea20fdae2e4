"""Plackets in front: folded from the front itself, or let into an opening that ends part of the way down.

Both end beside the centre on the front's neckline, and the neck's own finish ends beneath them there.
"""

from __future__ import annotations

from dataclasses import replace
from math import floor

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.plackets import (
    BOX,
    FOOT,
    INNER_FOOT,
    INNER_SIDE,
    INNER_TOP,
    LAP,
    OVERLAP,
    SIDE,
    TOP,
    UNDERLAP,
    Opening,
    folded_back,
    opening_strokes,
    stiffening,
    strip,
)
from drafting.errors import BadChoice
from drafting.geometry import Line, Path, Point, intersect
from drafting.making import Corner, Making, Phase, Run, Step, Width, back_along, run
from drafting.pattern import EdgeKind, MarkKind, Method
from drafting.styles.parts.facing_lines import part_edge

_NECK_LEFT = 1.6  # times half a placket's width: the least that half a neckline is wide (common practice)
_BELOW = 60.0  # mm of front that stays closed below a half placket and its box (common practice, no source)
_LEAST_DEPTH = 50.0  # mm
_FAR = 1000.0  # mm
FOLD = "fold of the placket"


def has_placket(making: Making) -> bool:
    """Whether the front closes in a placket."""
    centre = making.centre("front")
    return centre.folded or centre.kind == "half placket"


def beside_placket(making: Making) -> Run:
    """The front neckline from the neck point to the placket."""
    return tuple(step for step in making.lines["front neck"] if step.edge != TOP)


def neck_extension(making: Making) -> Run:
    """What laps over at the upper end of a buttoned front, from the centre to its edge."""
    if making.centre("front").kind == "half placket":
        return run(OVERLAP, LAP)
    return run(making.shells["front"], LAP)


def add_placket(making: Making, *, in_collar: bool) -> None:
    """Draw and sew the front's placket, once the neckline is cut.

    ``in_collar``: its whole upper end is caught in a collar's stand; else it is closed by itself.

    Raises: BadChoice where neckline or front leave no room for it.
    """
    along = _along(making)
    if making.centre("front").folded:
        _folded(making, along, in_collar=in_collar)
    else:
        _let_in(making, along, in_collar=in_collar)


def _along(making: Making) -> float:
    """How far along the front neckline a placket begins, mm. Raises: BadChoice, field "closure"."""
    neck, half = making.run_path("front neck"), making.centre("front").extension
    if neck.start.x < _NECK_LEFT * half:
        raise BadChoice(
            f"half the neckline is {neck.start.x:.0f} mm wide, and a placket of {2 * half:.0f} mm leaves too "
            "little of it; choose a wider neckline, or another closure",
            field="closure",
        )
    upright = Line(Point(half, neck.start.y + _FAR), Point(half, neck.start.y - _FAR))
    return neck.along(intersect(neck, upright)[0])


# Folded from the front


def _folded(making: Making, along: float, *, in_collar: bool) -> None:
    shell, half = making.shell("front"), making.centre("front").extension
    part_edge(making, making.lines["front neck"][0], along, ("neck", TOP))
    low, extension = _lower(making, shell, half)
    top = shell.path(TOP).joined(shell.path(LAP))
    foot = extension.path.joined(low.path)
    above, edge, below = folded_back(top, foot, half)
    enclosed = making.house["enclosed_allowance"]
    shell.put(
        "front edge",
        Stroke("placket top", above, EdgeKind.SEAM, enclosed),
        Stroke("placket edge", edge, EdgeKind.SEAM, enclosed),
        Stroke(FOOT, below, low.kind, low.allowance),
    )
    _in_ring_order(shell, "placket top", "placket edge", FOOT)
    shell.mark(FOLD, MarkKind.GUIDE, Path.line(above.start, below.start))
    shell.mark("stitching of the placket", MarkKind.GUIDE, Path.line(top.start, foot.end))
    making.add(stiffening("placket interfacing", top, foot, half))
    _sew_folded(making, shell.name, (extension.name, low.name), in_collar=in_collar)


def _lower(making: Making, shell: Sketch, half: float) -> tuple[Stroke, Stroke]:
    """What of the lower edge lies under the placket, from the centre outward, and its short edge beyond."""
    line = "front waist" if "front waist" in making.lines else "front hem"
    first = making.lines[line][0]
    low = part_edge(making, first, half, (f"{first.edge} faced", first.edge))
    if low.kind is EdgeKind.HEM:
        shell.turned = (*shell.turned, low.name)
    return low, shell.stroke(f"{line.split()[1]} extension")


def _in_ring_order(shell: Sketch, *names: str) -> None:
    """Turn these strokes round where the ring meets them from the lower edge upward."""
    at = shell.strokes.index(shell.stroke(names[0]))
    if shell.strokes[at - 1].name != LAP:
        shell.strokes[at : at + len(names)] = [shell.stroke(name) for name in names[::-1]]


def _sew_folded(making: Making, name: str, foot: tuple[str, str], *, in_collar: bool) -> None:
    covered = back_along(run(name, TOP, LAP))
    method = Method.LINED if in_collar else Method.ENCLOSED
    making.sew(Phase.NECK, "top of the placket", run(name, "placket top"), covered, method)
    edge = run(name, "placket edge")
    making.sew(Phase.NECK, "inner edge of the placket", edge, edge, Method.TOPSTITCHED)
    if making.shell("front").stroke(FOOT).kind is EdgeKind.SEAM:
        making.sew(Phase.WAIST, "placket at the waist", run(name, FOOT), run(name, *foot), Method.LINED)
    making.note(
        Phase.NECK,
        "Folded placket: fuse its interfacing between fold and stitching line, press the free edge under and "
        "fold the placket back; "
        + (
            "its upper end goes into the collar's seam; "
            if in_collar
            else "sew across its upper end right sides together over the neckline's finish, clip, turn; "
        )
        + "topstitch it down beside its free edge.",
    )


# Let into an opening


def _let_in(making: Making, along: float, *, in_collar: bool) -> None:
    shell, centre = making.shell("front"), making.centre("front")
    kept, top = shell.path("neck").split_at(along)
    opening = Opening(top, _depth(making, shell, top), centre.extension)
    allowance = making.house["enclosed_allowance"]
    _open(shell, kept, opening, allowance)
    for name in (OVERLAP, UNDERLAP):
        making.add(strip(opening, name, allowance))
    making.replaced(shell.name, [shell], {}, lambda width: _measured(width, opening))
    making.lines["front neck"] = run(shell.name, "neck") + run(OVERLAP, TOP)
    making.smooth("neckline across the placket", Corner(shell.name, "neck", SIDE), Corner(OVERLAP, TOP, SIDE))
    making.smooth("neckline at the centre front", Corner(OVERLAP, TOP, LAP))
    _sew_let_in(making, shell.name, in_collar=in_collar)


def _measured(width: Width, opening: Opening) -> tuple[Width, ...]:
    """A width of the front; across the opening the strip is measured as far as the centre."""
    start = width.start
    if start.x >= opening.half or not opening.foot < start.y < opening.top.end.y:
        return (width,)
    edge = Point(opening.half, start.y)
    return (replace(width, start=edge), Width(OVERLAP, start, edge, width.times))


def _depth(making: Making, shell: Sketch, top: Path) -> float:
    """How deep the half placket opens, mm. Raises: BadChoice where the front ends too soon below it."""
    centre = making.centre("front")
    foot = min(p.y for p in (shell.path("centre front").start, shell.path("centre front").end))
    box = 2 * centre.extension
    most = top.end.y - foot - box - _BELOW
    if (making.length("placket_depth", 0.0) and centre.depth > most) or most < _LEAST_DEPTH:
        raise BadChoice(
            f"a half placket {centre.depth:.0f} mm deep leaves no closed front below it: for this garment "
            f"choose at most {max(floor(most), 0):d} mm, or another closure",
            field="placket_depth" if most >= _LEAST_DEPTH else "closure",
        )
    return min(centre.depth, most)


def _open(shell: Sketch, kept: Path, opening: Opening, allowance: float) -> None:
    """Cut the opening out of half a front: its neckline ends at it, its fold begins below it."""
    neck, fold = shell.stroke("neck"), shell.stroke("centre front")
    side, foot = opening_strokes(opening, allowance)
    down = fold.path.start.y > fold.path.end.y
    low = fold.path.end if down else fold.path.start
    shell.put("neck", replace(neck, path=kept))
    closed = replace(fold, path=Path.line(Point(0.0, opening.foot), low))
    ring = [side, foot, closed]
    before = shell.strokes[shell.strokes.index(fold) - 1].name
    shell.put("centre front", *(ring if before == "neck" else ring[::-1]))


def _sew_let_in(making: Making, front: str, *, in_collar: bool) -> None:
    phase = Phase.NECK
    for name in (OVERLAP, UNDERLAP):
        side = run(front, SIDE)
        making.sew(phase, f"{name} to the opening", run(name, SIDE), side, times=1)
        making.sew(phase, f"inner edge of the {name}", run(name, INNER_SIDE), side, Method.LINED, times=1)
        outer = run(name, TOP, LAP)
        method = Method.LINED if in_collar else Method.ENCLOSED
        making.sew(phase, f"top of the {name}", run(name, INNER_TOP), back_along(outer), method, times=1)
    both = run(UNDERLAP, TOP, LAP), run(OVERLAP, TOP, LAP)
    making.sew(phase, "laps of the placket at the neckline", *both, Method.LINED, times=1)
    _sew_foot(making, front)
    making.note(
        phase,
        "Half placket: interface both strips and press them along their folds. Sew the underlap to the left "
        "edge of the opening and the overlap to the right, down to the corners; clip the front to the "
        "corners' stitching; press the strips inward and fell their inner edges to the seams. Lap right over "
        "left, sew the foot of the opening through the underlap alone, press the box of the overlap in and "
        "topstitch it through all layers.",
    )
    if not in_collar:
        making.note(
            phase,
            "Close the upper ends of the strips over the neckline's finish before their inner edges are "
            "felled.",
        )


def _sew_foot(making: Making, front: str) -> None:
    half = run(front, FOOT)
    whole: Run = half + back_along(half)
    foot, inner = run(UNDERLAP, FOOT), run(UNDERLAP, INNER_FOOT)
    making.sew(Phase.NECK, "foot of the placket", foot, whole, times=1)
    making.sew(Phase.NECK, "inner foot of the placket", inner, back_along(foot), Method.LINED, times=1)
    box = tuple(Step(OVERLAP, edge) for edge in BOX)
    making.sew(Phase.NECK, "box of the placket", box, box, Method.TOPSTITCHED, times=1)
