"""A skirt's lining: a plain A-line under any skirt, hung from its waist and hemmed shorter."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan

from drafting.blocks.centre import Centre, centre_strokes
from drafting.blocks.sketch import Sketch, Stroke
from drafting.blocks.skirts.panel import SkirtPanel, SkirtSizes, skirt_panel
from drafting.geometry import Path, Point
from drafting.making import Corner, Making, Phase, run
from drafting.pattern import EdgeKind, Method
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.linings import FULL
from drafting.styles.parts.skirts.hanging import SIDES, Hang, hang, hem_depth, seam_stroke
from drafting.styles.parts.skirts.joining import close_sides
from drafting.styles.parts.skirts.stand import FACING, line_to_stand

_EXTRA = 12.0  # mm on a quarter at the hip: a lining must never be the tighter one
_TUCK_LEAST = 6.0  # mm on a quarter: what is laid into tucks at the waist
_SIDE_TAKES = 15.0  # mm on a quarter that the side takes in from hip to waist
_FLARE = 0.06  # of the length below the hip, gained at the side: room to walk
_BEND = 0.5  # of the waist, next to the side: there it bends to it
_LEAST_LENGTH = 0.75  # of the skirt's length: a lining is no shorter, whatever the house says
CHOICE = Choice("skirt_lining", "Line the skirt", "switch", False)


@dataclass(frozen=True, slots=True)
class SkirtLining:
    """Lines the skirt where "lining" is full or "skirt_lining" says so; comes after the skirt."""

    choices: tuple[Choice, ...] = ()
    needs: tuple[str, ...] = ()
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Draw the lining and hang it from the waist seam."""
        if making.chosen("lining") != FULL and not making.choices.get("skirt_lining", False):
            return
        hung = hang(making, fitted=False)
        stand = _stand(making)
        for side in SIDES:
            _add(making, side, hung, stand)
        roles = "skirt front lining", "skirt back lining"
        close_sides(making, roles, "of the skirt lining", Phase.LINING, Method.LINED)
        for line in ("waist", "hem"):
            corners = (_corner(making, role, line) for role in roles)
            making.smooth(f"{line} of the skirt lining at the side", *corners)
        making.note(
            Phase.LINING,
            "Hang the skirt's lining from the waist seam, wrong side to wrong side; lay what it is wider "
            "into soft tucks, and hem it shorter than the skirt.",
        )


def _corner(making: Making, role: str, line: str) -> Corner:
    side = making.lines[f"{role} side"][-1 if line == "hem" else 0]
    return Corner(role, line, side.edge)


def _stand(making: Making) -> float:
    """How much of half the front its button stand's facing covers, mm."""
    if making.centre("skirt front").kind != "buttons":
        return 0.0
    return making.shell("skirt front").path("waist stand").length


def _add(making: Making, side: str, hung: Hang, stand: float) -> None:
    role = f"skirt {side} lining"
    buttoned = side == "front" and stand > 0
    start = stand if buttoned else 0.0
    # The front's waist is the shorter one beside a button stand: both sides bend over as much of theirs.
    panel = _panel(making, side, hung, start, _BEND * _waist(hung, "front", stand))
    top, foot = panel.waist.start, panel.hem.start
    centre = _centre(making, side)
    if buttoned:
        closing = [_to_stand(making, top, foot, hung)]
    else:
        closing = centre_strokes(centre, side, _lifted(top, hung), _lifted(foot, hung), making.house)[::-1]
    x = top.x + 0.35 * (panel.hip_side.x - top.x)
    waist, beside, hem = (path.translated(0.0, hung.top) for path in (panel.waist, panel.side, panel.hem))
    making.add(
        Sketch(
            role,
            [
                seam_stroke(making, "waist", waist),
                Stroke("side", beside, EdgeKind.SEAM, making.house["side_allowance"]),
                Stroke("hem", hem, EdgeKind.HEM, hem_depth(making, hung) / 2),
                *closing,
            ],
            (centre.cut("lining"),),
            (Point(x, hung.top - 0.75 * hung.length), Point(x, hung.top - 0.3 * hung.length)),
            is_front=side == "front",
            turned=("hem",),
        )
    )
    for line in ("waist", "side", "hem"):
        making.lines[f"{role} {line}"] = run(role, line)
    _join(making, side, role, hung, start)
    if buttoned:
        _join_stand(making, role, top.y - foot.y)


def _lifted(point: Point, hung: Hang) -> Point:
    return Point(point.x, point.y + hung.top)


def _centre(making: Making, side: str) -> Centre:
    """Opened by the skirt's zip or buttons; otherwise on the fold, also where the skirt has a seam."""
    centre = making.centre(f"skirt {side}")
    return Centre() if centre.kind == "seam" else centre


def _waist(hung: Hang, side: str, start: float) -> float:
    """Cloth at the waist: nearly as wide as at the hip, so that the side hangs straight, mm."""
    return max(hung.seams[side] + _TUCK_LEAST, hung.hips[side] - _SIDE_TAKES) - start


def _panel(making: Making, side: str, hung: Hang, start: float, bend: float) -> SkirtPanel:
    waist = _waist(hung, side, start)
    hip = hung.hips[side] + _EXTRA - start
    length = max(hung.length - making.house["lining_hem"], _LEAST_LENGTH * hung.length)
    level = min(hung.hip_level, 0.6 * length)
    # A waist that bends over more than it stands above the hip could fall below it.
    level_until = start + waist - min(bend, level)
    return skirt_panel(SkirtSizes(waist, hip, level, length, start, atan(_FLARE)), level_until)


def _to_stand(making: Making, top: Point, foot: Point, hung: Hang) -> Stroke:
    """Along the free edge of the button stand's facing, as far down as the lining reaches."""
    return seam_stroke(making, "facing join", Path.line(_lifted(top, hung), _lifted(foot, hung)))


def _join(making: Making, side: str, role: str, hung: Hang, start: float) -> None:
    """Hang the lining from the skirt's own waist, beside what the button stand's facing covers."""
    shell = tuple(step for step in making.lines[f"skirt {side} waist"] if step.edge != "waist stand")
    ease = _waist(hung, side, start) - making.run_length(shell)
    own = making.lines[f"{role} waist"]
    making.sew(Phase.LINING, f"skirt lining at the waist, {side}", own, shell, Method.PLEATED, ease=ease)


def _join_stand(making: Making, role: str, length: float) -> None:
    """Sew the lining to the facing's free edge; it ends above the hem."""
    line_to_stand(making)
    own, facing = run(role, "facing join"), run(FACING, "facing inner")
    ease = length - making.run_length(facing)
    making.sew(Phase.LINING, "skirt lining to button stand", own, facing, Method.LINED, ease=ease)
