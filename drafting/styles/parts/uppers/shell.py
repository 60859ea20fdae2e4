"""What all uppers share: the shell of front and back, how it is joined, and where its girths are measured."""

from __future__ import annotations

from collections.abc import Sequence

from drafting.blocks.bodice import Panel, Proportions
from drafting.blocks.centre import centre_strokes
from drafting.blocks.one_piece import OnePiecePanel
from drafting.blocks.panel import PanelStrokes
from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Line, Path, Point, intersect
from drafting.making import Corner, Making, Phase, Width, run
from drafting.pattern import EdgeKind, Method

SIDES = ("front", "back")
BODICE_NEEDS = (
    "bust_girth",
    "waist_girth",
    "neck_base_girth",
    "shoulder_length",
    "back_width",
    "chest_width",
    "bust_point_width",
    "neck_to_bust_point",
    "front_waist_length",
    "back_waist_length",
    "armscye_depth",
    "armscye_girth",
)
_SAME = 0.05  # mm: a shoulder seam with less ease than this is plain


def base_neck(p: Proportions, panel: Panel | OnePiecePanel, side: str) -> Path:
    """The neckline at the neck's base, from the neck point to the centre, square to it."""
    neck = panel.neck
    if side == "back":
        end = Point(0.0, p.nape)
        drop = neck.y - end.y
        return Path.cubic(neck, Point(0.86 * neck.x, neck.y - 0.85 * drop), Point(0.5 * neck.x, end.y), end)
    end = Point(0.0, neck.y - p.front_neck_depth)
    along = panel.shoulder.start_tangent
    down = Point(along.y, -along.x)
    return Path.cubic(neck, neck + down * (0.5 * p.front_neck_depth), Point(0.55 * neck.x, end.y), end)


def add_shell(
    making: Making,
    side: str,
    name: str,
    outline: PanelStrokes,
    neck: Path,
    *,
    lower: str = "waist",
    grain: tuple[float, float],
    centre: Sequence[Stroke] | None = None,
) -> Sketch:
    """Close a panel's outline with neck and centre, add it as the shell of a side, and name its lines.

    Args:
        making: the garment.
        side: "front" or "back".
        name: of the piece.
        outline: from the centre of the lower edge round to the neck point.
        neck: from the neck point to the centre.
        lower: the role of the lower edge: "waist" or "hem".
        grain: heights between which the grain line runs.
        centre: strokes from the neckline down, where they are not those of the garment's centre.
    """
    house, foot = making.house, outline.strokes[0].path.start
    met = making.centre(side)
    edge, hem = f"{lower} extension", outline.strokes[0].allowance
    strokes = centre or centre_strokes(met, side, neck.end, foot, house, lower=edge, hem=hem)
    underarm = next(stroke.path.end for stroke in outline.strokes if stroke.name == "armhole")
    sketch = Sketch(
        name,
        [*outline.strokes, Stroke("neck", neck, EdgeKind.SEAM, house["enclosed_allowance"]), *strokes],
        (met.cut(),),
        (Point(0.2 * underarm.x, grain[0]), Point(0.2 * underarm.x, grain[1])),
        is_front=side == "front",
        darts=outline.darts,
        turned=("hem",) if lower == "hem" else (),
    )
    making.add(sketch)
    making.shells[side] = name
    making.lines |= {
        f"{side} neck": run(name, "neck"),
        f"{side} shoulder": run(name, "shoulder"),
        f"{side} armhole": run(name, "armhole"),
        f"{side} side": run(name, *outline.sides),
        f"{side} {lower}": run(name, *outline.waist),
    }
    return sketch


def notch_armhole(sketch: Sketch, at: float) -> None:
    """A notch where the armhole is narrowest, double on the back."""
    sketch.notch("armhole", at, 1 if sketch.is_front else 2)


def join_shells(making: Making, *, to_the_hem: bool = True) -> None:
    """Sew shoulders and sides of the shell; say which lines run on across them.

    The necklines' meeting at the shoulder is said by whoever cuts the neckline. ``to_the_hem`` is False where
    the side seams end above it, in slits.
    """
    lines = making.lines
    ease = making.run_length(lines["back shoulder"]) - making.run_length(lines["front shoulder"])
    eased = abs(ease) > _SAME
    making.sew(
        Phase.SHOULDERS,
        "shoulder",
        lines["back shoulder"],
        lines["front shoulder"],
        Method.EASED if eased else Method.PLAIN,
        ease=ease if eased else 0.0,
    )
    making.sew(Phase.SIDES, "side", lines["front side"], lines["back side"])
    for name, one, other in (
        ("armhole at the shoulder", "armhole", "shoulder"),
        ("armhole at the side", "armhole", "side"),
    ):
        making.smooth(name, *(meeting(making, side, one, other) for side in SIDES))
    for lower in ("waist", "hem") if to_the_hem else ("waist",):
        if f"front {lower}" in lines and f"back {lower}" in lines:
            corners = [meeting(making, side, lower, "side", last=True) for side in SIDES]
            making.smooth(f"{lower} at the side", *corners)


def meeting(making: Making, side: str, one: str, other: str, *, last: bool = False) -> Corner:
    """The corner where two lines by role meet: at the first edge of the other line, or at its last."""
    first, second = making.lines[f"{side} {one}"], making.lines[f"{side} {other}"]
    return Corner(first[-1].piece, first[-1].edge, second[-1 if last else 0].edge)


def bust_widths(name: str, panel: Panel | OnePiecePanel) -> list[Width]:
    """From the centre level to the side; past a bust dart along its lower leg."""
    centre = Point(0.0, panel.bust_side.y)
    if not panel.bust_darts:
        return [Width(name, centre, panel.bust_side)]
    dart = panel.bust_darts[0]
    return [Width(name, centre, dart.apex), Width(name, dart.apex, dart.lower)]


def width_at(making: Making, side: str, height: float) -> Width | None:
    """A half's width from the centre to where its drawn side passes a height; None where it does not."""
    sketch = making.shell(side)
    level = Line(Point(0.0, height), Point(1e5, height))
    for step in making.lines[f"{side} side"][::-1]:
        if met := intersect(sketch.path(step.edge), level):
            return Width(sketch.name, level.start, met[-1])
    return None
