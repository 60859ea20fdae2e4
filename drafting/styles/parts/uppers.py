"""The upper garment: a fitted bodice to a seam at the waist."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.bodice import Bodice, Panel, draft_bodice
from drafting.blocks.panel import panel_strokes
from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Path, Point
from drafting.making import Corner, Making, Phase, Width, centre_strokes, run
from drafting.pattern import EdgeKind, Finished, Method
from drafting.styles.choices import Choice, Clash

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


@dataclass(frozen=True, slots=True)
class FittedBodice:
    """Front and back with darts to the waist, the neckline at the neck's base."""

    choices: tuple[Choice, ...] = ()
    needs: tuple[str, ...] = BODICE_NEEDS
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Draw front and back bodice and join shoulders and sides. Raises: CannotDraft."""
        block = draft_bodice(making.body, making.house)
        for side in ("front", "back"):
            _draw(making, block, side)
        join_shells(making)
        _girths(making, block)
        _measure(making, block)


def base_neck(block: Bodice, side: str) -> Path:
    """The neckline at the neck's base, from the neck point to the centre, square to it."""
    p = block.proportions
    if side == "back":
        neck, end = block.back.neck, Point(0.0, p.nape)
        drop = neck.y - end.y
        return Path.cubic(neck, Point(0.86 * neck.x, neck.y - 0.85 * drop), Point(0.5 * neck.x, end.y), end)
    neck = block.front.neck
    end = Point(0.0, neck.y - p.front_neck_depth)
    along = block.front.shoulder.start_tangent
    down = Point(along.y, -along.x)
    return Path.cubic(neck, neck + down * (0.5 * p.front_neck_depth), Point(0.55 * neck.x, end.y), end)


def _draw(making: Making, block: Bodice, side: str) -> None:
    house, panel = making.house, _panel(block, side)
    outline = panel_strokes(panel, house)
    neck = base_neck(block, side)
    centre = making.centres[side]
    sketch = Sketch(
        f"{side} bodice",
        [
            *outline.strokes,
            Stroke("neck", neck, EdgeKind.SEAM, house["enclosed_allowance"]),
            *centre_strokes(centre, side, neck.end, Point(0.0, 0.0), house),
        ],
        (centre.cut(),),
        (Point(0.2 * panel.underarm.x, 0.12 * neck.end.y), Point(0.2 * panel.underarm.x, 0.62 * neck.end.y)),
        is_front=side == "front",
        darts=outline.darts,
    )
    sketch.notch("armhole", panel.armhole_notch, 1 if side == "front" else 2)
    making.add(sketch)
    making.shells[side] = sketch.name
    making.lines |= {
        f"{side} neck": run(sketch.name, "neck"),
        f"{side} shoulder": run(sketch.name, "shoulder"),
        f"{side} armhole": run(sketch.name, "armhole"),
        f"{side} side": run(sketch.name, *outline.sides),
        f"{side} waist": run(sketch.name, *outline.waist),
    }


def _panel(block: Bodice, side: str) -> Panel:
    return block.front if side == "front" else block.back


def join_shells(making: Making) -> None:
    """Sew shoulders and sides of the shell; say which lines run on across them.

    The necklines' meeting at the shoulder is said by whoever cuts the neckline.
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
        making.smooth(name, *(meeting(making, side, one, other) for side in ("front", "back")))
    for lower in ("waist", "hem"):
        if f"front {lower}" in lines and f"back {lower}" in lines:
            corners = [meeting(making, side, lower, "side", last=True) for side in ("front", "back")]
            making.smooth(f"{lower} at the side", *corners)


def meeting(making: Making, side: str, one: str, other: str, *, last: bool = False) -> Corner:
    """The corner where two lines by role meet: at the first edge of the other line, or at its last."""
    first, second = making.lines[f"{side} {one}"], making.lines[f"{side} {other}"]
    return Corner(first[-1].piece, first[-1].edge, second[-1 if last else 0].edge)


def _girths(making: Making, block: Bodice) -> None:
    body, house = making.body, making.house
    for side in ("front", "back"):
        panel, name = _panel(block, side), making.shells[side]
        making.girth("bust", body["bust_girth"], house["bust_ease"], *bust_widths(name, panel))
        making.girth(
            "waist",
            body["waist_girth"],
            house["waist_ease"],
            *(Width(name, path.start, path.end) for path in panel.waist.panels),
        )


def bust_widths(name: str, panel: Panel) -> list[Width]:
    """From the centre level to the side; past a bust dart along its lower leg."""
    centre = Point(0.0, panel.bust_side.y)
    if not panel.bust_darts:
        return [Width(name, centre, panel.bust_side)]
    dart = panel.bust_darts[0]
    return [Width(name, centre, dart.apex), Width(name, dart.apex, dart.lower)]


def _measure(making: Making, block: Bodice) -> None:
    body, house, p = making.body, making.house, block.proportions
    making.finished += [
        Finished("bust", body["bust_girth"] + house["bust_ease"], body["bust_girth"]),
        Finished("waist", body["waist_girth"] + house["waist_ease"], body["waist_girth"]),
        Finished("back length, nape to waist", p.nape, body["back_waist_length"]),
        Finished("front length, neck point to waist", p.front_neck, body["front_waist_length"]),
    ]
