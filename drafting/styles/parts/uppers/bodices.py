"""Bodices: fitted with darts or plain, to a seam at the waist, raised above it or dropped below it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from drafting.blocks.bodice import Bodice, Panel, Proportions, draft_bodice, proportions
from drafting.blocks.one_piece import draft_one_piece
from drafting.blocks.panel import panel_strokes
from drafting.blocks.raised import raised, usual_seam
from drafting.blocks.rules import House, proportion, quarter
from drafting.blocks.widths import loose_widths
from drafting.body import Body
from drafting.errors import BadChoice
from drafting.making import Making, Width
from drafting.pattern import Finished
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.uppers.hanging import hang_to_seam
from drafting.styles.parts.uppers.shell import (
    BODICE_NEEDS,
    SIDES,
    add_shell,
    base_neck,
    bust_widths,
    join_shells,
    notch_armhole,
)

NATURAL, RAISED, DROPPED = "natural", "raised", "dropped"
SEAM_LABELS = {
    NATURAL: "at the natural waist",
    RAISED: "raised, under the bust",
    DROPPED: "dropped, below the waist",
}
RAISED_BY = Choice(
    "raised_by",
    "Seam above the waist",
    "length",
    0.0,
    low=10.0,
    high=300.0,
    help="Of a raised waist. Left empty, or 0, it lies under the bust as the house rule says.",
    only_with=("waist_seam", (RAISED,)),
)
DROPPED_BY = Choice(
    "dropped_by",
    "Seam below the waist",
    "length",
    0.0,
    low=20.0,
    high=300.0,
    help="Of a dropped waist. Left empty, or 0, it follows the house rule.",
    only_with=("waist_seam", (DROPPED,)),
)
STRAIGHT, SHAPED = "straight", "shaped"
PLAIN_SIDE = Choice(
    "plain_side",
    "Sides of the bodice",
    "option",
    SHAPED,
    ((SHAPED, "a little taken in at the waist"), (STRAIGHT, "straight down")),
)
_LOWEST_DROP = 0.8  # of the way from waist to hip: a seam lower than this lies on the hip


def seam_choices(seams: tuple[str, ...]) -> tuple[Choice, ...]:
    """What is asked about the waist seam where a style offers several."""
    chosen = Choice(
        "waist_seam", "Waist seam", "option", seams[0], tuple((seam, SEAM_LABELS[seam]) for seam in seams)
    )
    return (
        *((chosen,) if len(seams) > 1 else ()),
        *((RAISED_BY,) if RAISED in seams else ()),
        *((DROPPED_BY,) if DROPPED in seams else ()),
    )


@dataclass(frozen=True, slots=True)
class FittedBodice:
    """Front and back with darts to the waist, the neckline at the neck's base.

    ``seams`` are the places of the waist seam that the style offers, the first its default. A raised seam
    cuts the bodice off under the bust; above a dropped one it hangs loosely past the waist, without darts.
    """

    seams: tuple[str, ...] = (NATURAL,)
    needs: tuple[str, ...] = (*BODICE_NEEDS, "hip_girth", "waist_to_hip")
    clashes: tuple[Clash, ...] = ()

    @property
    def choices(self) -> tuple[Choice, ...]:
        return seam_choices(self.seams)

    def make(self, making: Making) -> None:
        """Draw front and back bodice and join shoulders and sides. Raises: CannotDraft, BadChoice."""
        _make(making, _above_room(making, self.seams), self.seams)


@dataclass(frozen=True, slots=True)
class PlainBodice:
    """Front and back without waist darts: for small children, and for all that is loose at the waist."""

    seams: tuple[str, ...] = (NATURAL,)
    needs: tuple[str, ...] = (*BODICE_NEEDS, "hip_girth", "waist_to_hip")
    clashes: tuple[Clash, ...] = ()

    @property
    def choices(self) -> tuple[Choice, ...]:
        return (PLAIN_SIDE, *seam_choices(self.seams))

    def make(self, making: Making) -> None:
        """Draw front and back bodice and join shoulders and sides. Raises: CannotDraft, BadChoice."""
        _make(making, _undarted(making, _above_room(making, self.seams)), self.seams)


def _above_room(making: Making, seams: tuple[str, ...]) -> House:
    """The house rules without the room to grow at the waist where a raised seam ends the bodice above it.

    The skirt has it: under the bust the bodice would stand off, and its seam would rise at the side.
    """
    if making.chosen("waist_seam", seams[0]) != RAISED:
        return making.house
    return {**making.house, "waist_ease": making.house["waist_ease"] - making.length("room", 0.0)}


def _undarted(making: Making, house: House) -> House:
    """The house rules with so much ease at the waist that the side seams take in all that is taken in."""
    body = making.body
    share = proportion(proportions(body, house).neck_width)
    taken = share * house["side_greatest"] if making.chosen("plain_side", SHAPED) == SHAPED else 0.0
    waist = max(
        quarter(body["waist_girth"], house["waist_ease"]),
        quarter(body["bust_girth"], house["bust_ease"]) - taken,
    )
    return {**house, "waist_ease": 4 * waist - body["waist_girth"], "side_share": 1.0}


def _make(making: Making, house: House, seams: tuple[str, ...]) -> None:
    seam = making.chosen("waist_seam", seams[0])
    if seam == DROPPED:
        _dropped(making)
        return
    block = draft_bodice(_hollow_covered(making.body) if seam == RAISED else making.body, house)
    if seam == RAISED:
        making.waist_height = _height(making, block)
        least = house["dart_least"]
        field = "raised_by" if making.length("raised_by", 0.0) else "waist_seam"
        block = raised(block, making.waist_height, least_dart=least, field=field)
    for side in SIDES:
        _draw(making, block, side)
    join_shells(making)
    _girths(making, block, house, natural=seam == NATURAL)
    _measure(making, block, house, natural=seam == NATURAL)


def _hollow_covered(body: Body) -> Body:
    """A hollow back lies below a raised seam, under the skirt: it does not shape the bodice."""
    return replace(body, fit={name: amount for name, amount in body.fit.items() if name != "sway_back"})


def _height(making: Making, block: Bodice) -> float:
    """How far above the waist a raised seam lies: by the house rule, and under every dart's point."""
    p, house = block.proportions, making.house
    wished = p.bust_line - house["raised_below_bust"] * proportion(p.neck_width)
    return making.length("raised_by", usual_seam(block, wished))


def _dropped(making: Making) -> None:
    """Draw the bodice as a loose garment that ends at a seam between waist and hip."""
    body, house = making.body, making.house
    p = proportions(body, house)
    lowest = _LOWEST_DROP * body["waist_to_hip"]
    drop = making.length("dropped_by", min(house["waist_drop"] * proportion(p.neck_width), lowest))
    if drop > lowest:
        raise BadChoice(
            f"a seam {drop:.0f} mm below the waist would lie on the hip; for this wearer choose at most "
            f"{lowest:.0f} mm",
            field="dropped_by",
        )
    widths = loose_widths(p, body, house, shaped=False)
    ends = "dropped_by" if making.length("dropped_by", 0.0) else "waist_seam"
    block = draft_one_piece(p, house, widths, hip_level=body["waist_to_hip"], length=drop, ends=ends)
    making.waist_height = -drop
    if making.centre("back").kind == "zip":
        # Loose as it is, it opens far enough at the seam; a zip a little longer would end in the skirt.
        making.centres["back"] = replace(making.centre("back"), depth=drop)
    hang_to_seam(making, block)
    making.finished.append(Finished("bust", 4 * widths.bust, body["bust_girth"]))
    _measure_seam(making, p)


def _draw(making: Making, block: Bodice, side: str) -> None:
    panel = _panel(block, side)
    neck = base_neck(block.proportions, panel, side)
    foot = making.waist_height
    low, high = (foot + share * (neck.end.y - foot) for share in (0.12, 0.62))
    outline = panel_strokes(panel, making.house)
    sketch = add_shell(making, side, f"{side} bodice", outline, neck, grain=(low, high))
    notch_armhole(sketch, panel.armhole_notch)


def _panel(block: Bodice, side: str) -> Panel:
    return block.front if side == "front" else block.back


def _girths(making: Making, block: Bodice, house: House, *, natural: bool) -> None:
    """Bust and natural waist; at a raised seam the body has no girth that is taken."""
    body = making.body
    for side in SIDES:
        panel, name = _panel(block, side), making.shells[side]
        making.girth("bust", body["bust_girth"], house["bust_ease"], *bust_widths(name, panel))
        if natural:
            widths = (Width(name, path.start, path.end) for path in panel.waist.panels)
            making.girth("waist", body["waist_girth"], house["waist_ease"], *widths)


def _measure(making: Making, block: Bodice, house: House, *, natural: bool) -> None:
    body, p = making.body, block.proportions
    making.finished.append(Finished("bust", body["bust_girth"] + house["bust_ease"], body["bust_girth"]))
    if not natural:
        _measure_seam(making, p)
        return
    waist = body["waist_girth"]
    making.finished += [
        Finished("waist", waist + house["waist_ease"], waist),
        Finished("back length, nape to waist", p.nape, body["back_waist_length"]),
        Finished("front length, neck point to waist", p.front_neck, body["front_waist_length"]),
    ]


def _measure_seam(making: Making, p: Proportions) -> None:
    """A seam away from the natural waist: the body has no measurement beside it."""
    seam = sum(making.run_length(making.lines[f"{side} waist"]) for side in SIDES)
    making.finished += [
        Finished("waist seam", 2 * seam),
        Finished("back length, nape to waist seam", p.nape - making.waist_height),
        Finished("front length, neck point to waist seam", p.front_neck - making.waist_height),
    ]
