"""Circle skirts: a quarter, a half, three quarters of a circle, or a whole one."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sin

from drafting.blocks.skirts.circle import circle_panel, waist_radius
from drafting.geometry import Point, arc
from drafting.making import Making, Phase
from drafting.pattern import Mark, MarkKind, Method
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
    needs_centre_seam,
    seam_stroke,
    upright_grain,
)
from drafting.styles.parts.skirts.joining import hang_up, refuse_tight_hip
from drafting.styles.parts.skirts.stand import add_stand

SHARES = {"quarter": 0.25, "half": 0.5, "three-quarter": 0.75, "full": 1.0}
CIRCLE = Choice(
    "circle",
    "How much of a circle",
    "option",
    "full",
    (
        ("quarter", "a quarter circle"),
        ("half", "a half circle"),
        ("three-quarter", "three quarters of a circle"),
        ("full", "a whole circle"),
    ),
)


@dataclass(frozen=True, slots=True)
class CircleSkirt:
    """Four sectors; front and back are cut on the fold where the cloth is wide enough for them."""

    choices: tuple[Choice, ...] = (SKIRT_LENGTH, CIRCLE)
    needs: tuple[str, ...] = NEEDS
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Draw the sectors and join them. Raises: BadChoice, CannotDraft."""
        hung = hang(making, fitted=False)
        share = SHARES[making.chosen("circle", "full")]
        radius = waist_radius(2 * sum(hung.seams.values()), share)
        around = 2 * pi * share * (radius + hung.hip_level)
        refuse_tight_hip(making, hung, around, "choose more of a circle, or a gathered skirt", "circle")
        for side in SIDES:
            _add(making, side, radius, hung)
        hang_up(making, hung, Method.PLAIN, dict.fromkeys(SIDES, 0.0))
        add_stand(making, hung)
        making.note(
            Phase.WAIST,
            "Stay-stitch the waist at once: it lies partly on the bias and stretches.",
        )
        making.note(
            Phase.HEM,
            "Hang the skirt for a day or two so that the bias drops, level the hem from the floor, then "
            "turn it narrow.",
        )


def _add(making: Making, side: str, radius: float, hung: Hang) -> None:
    panel = circle_panel(hung.seams[side], radius, hung.length)
    needs_centre_seam(making, side, panel.opened_width)
    x = 0.3 * radius * sin(min(panel.angle, pi / 2))
    drawn = Drawn(
        (seam_stroke(making, "waist", panel.waist),),
        panel.side,
        panel.hem,
        upright_grain(x, hung),
        hem_depth(making, hung, "flared_hem_depth"),
    )
    sketch = add_panel(making, side, drawn, hung)
    level = arc(Point(0.0, radius), Point(0.0, -hung.hip_level), panel.angle)
    if hung.hip_level < hung.length:
        sketch.marks.append(lifted_mark(Mark("hip line", MarkKind.GUIDE, level), hung))
