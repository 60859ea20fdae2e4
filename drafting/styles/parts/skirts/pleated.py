"""A pleated skirt: knife, box or inverted pleats all round, in the middle, or over a plain back."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.pleats import BOX, MOST, PleatPlan
from drafting.blocks.skirts.pleated import PleatWish, plan_quarter, pleat_marks, pleated_panel, shown_at_hip
from drafting.geometry import Path, Point
from drafting.making import Making, Phase, Width
from drafting.pattern import MarkKind, Method, PleatRun
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.skirts.hanging import (
    NEEDS,
    SIDES,
    SKIRT_LENGTH,
    Drawn,
    Hang,
    add_panel,
    hang,
    hem_depth,
    lifted_mark,
    seam_stroke,
    straight_hem,
    upright_grain,
)
from drafting.styles.parts.skirts.joining import hang_up, hip_girth
from drafting.styles.parts.skirts.stand import add_stand
from drafting.styles.parts.skirts.straight import straight_back, taken_at_side

ALL_ROUND, MIDDLE, FRONT = "all round", "middle", "front"
CHOICES = (
    Choice(
        "pleat_kind",
        "Pleats",
        "option",
        "knife",
        (("knife", "knife pleats"), ("box", "box pleats"), ("inverted", "inverted pleats")),
    ),
    Choice(
        "pleated",
        "Where it is pleated",
        "option",
        ALL_ROUND,
        (
            (ALL_ROUND, "all round"),
            (MIDDLE, "in the middle of front and back, the sides plain"),
            (FRONT, "the front alone, the back plain with darts"),
        ),
    ),
    Choice(
        "pleats",
        "Pleats on each quarter",
        "count",
        3,
        low=1,
        high=MOST,
        help="A pleated front or back has twice as many.",
    ),
    Choice(
        "pleat_depth",
        "Depth of a pleat",
        "length",
        0.0,
        low=8.0,
        high=120.0,
        help="Left empty, or 0, it follows the house rule, in proportion to the wearer.",
    ),
    SKIRT_LENGTH,
)


@dataclass(frozen=True, slots=True)
class PleatedSkirt:
    """Even pleats from the waist to the hem, deeper at the waist by what the hip is wider.

    Over a plain back they are so in front alone: that is a straight skirt's, with its darts.
    """

    choices: tuple[Choice, ...] = CHOICES
    needs: tuple[str, ...] = NEEDS
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Draw the pleated panels and join them. Raises: BadChoice, CannotDraft."""
        hung = hang(making, fitted=True)
        wish, plain = _wish(making), making.chosen("pleated", ALL_ROUND) == FRONT
        at_side = taken_at_side(making, hung) if plain else None
        ease = {"back": 0.0}
        for side in SIDES[:1] if plain else SIDES:
            plan = plan_quarter(wish, hung.seams[side], hung.hips[side], at_side)
            _add(making, side, plan, hung)
            ease[side] = plan.count * plan.underlay(plan.waist_depth)
        if plain:
            _add_plain_back(making, hung, plan)
        hang_up(making, hung, Method.PLEATED, ease)
        add_stand(making, hung)
        making.note(
            Phase.SKIRT,
            "Fold and baste the pleats along their arrows from the waist to the hip line before the waist is "
            "joined.",
        )


def _wish(making: Making) -> PleatWish:
    house = making.house
    return PleatWish(
        making.chosen("pleat_kind", "knife"),
        int(making.choices.get("pleats", 3)),
        making.length("pleat_depth", house["pleat_depth"]),
        house["pleat_least"],
        house["pleat_overlap"],
        house["pleated_share"] if making.chosen("pleated", ALL_ROUND) == MIDDLE else 1.0,
    )


def _add(making: Making, side: str, plan: PleatPlan, hung: Hang) -> None:
    panel = pleated_panel(plan, hung.hip_level, hung.length)
    x = 0.35 * plan.share * plan.hip / plan.count / (2 if plan.kind == BOX else 1)
    drawn = Drawn(
        (seam_stroke(making, "waist", panel.waist),),
        panel.side,
        panel.hem,
        upright_grain(x, hung),
        hem_depth(making, hung, straight_hem(hung)),
        clear=plan.stops(plan.waist, plan.waist_depth)[0][0],
    )
    sketch = add_panel(making, side, drawn, hung)
    for mark in pleat_marks(plan, hung.hip_level, hung.length):
        sketch.marks.append(lifted_mark(mark, hung))
    hip = hung.top - hung.hip_level
    low = hip - 0.55 * hung.below_hip
    for name, kind, y in (("hip line", MarkKind.GUIDE, hip), ("lengthen", MarkKind.LENGTHEN, low)):
        sketch.mark(name, kind, Path.line(Point(0.0, y), Point(panel.hip_side.x, y)))
    making.pleats.append(_run(making, sketch.name, plan))
    if hung.reaches_hip:
        shown = shown_at_hip(plan)
        widths = [Width(sketch.name, Point(a, hip), Point(b, hip)) for a, b in shown]
        hip_girth(making, widths)


def _add_plain_back(making: Making, hung: Hang, plan: PleatPlan) -> None:
    """A back with darts that meets the side of the pleated front. Raises: CannotDraft."""
    side = pleated_panel(plan, hung.hip_level, hung.length).side
    bend = plan.waist_cloth - plan.stops(plan.waist, plan.waist_depth)[-1][1]
    add_panel(making, "back", straight_back(making, hung, side, bend), hung)
    if hung.reaches_hip:
        y = hung.top - hung.hip_level
        hip_girth(making, [Width("skirt back", Point(0.0, y), Point(hung.hips["back"], y))])


def _run(making: Making, piece: str, plan: PleatPlan) -> PleatRun:
    cloth = making.sketches[piece].path("waist").length
    hidden = tuple(end - start for start, end in plan.stops(plan.waist, plan.waist_depth))
    return PleatRun(
        piece,
        "waist",
        plan.kind,
        cloth,
        cloth - sum(hidden),
        hidden,
        plan.pitch,
        plan.overlap,
        making.house["pleat_overlap"],
    )
