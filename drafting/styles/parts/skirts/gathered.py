"""Gathered skirts of one to three tiers."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.sketch import Sketch, Stroke
from drafting.blocks.skirts.tiers import Tier, tiers
from drafting.errors import BadChoice
from drafting.geometry import Path, Point
from drafting.making import Making, Phase, Run, run
from drafting.pattern import Cut, EdgeKind, Method
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.closures import FRONT_BUTTONS
from drafting.styles.parts.skirts.hanging import (
    NEEDS,
    SIDES,
    SKIRT_LENGTH,
    Drawn,
    Hang,
    add_panel,
    hang,
    hem_depth,
    needs_centre_seam,
    seam_stroke,
    upright_grain,
)
from drafting.styles.parts.skirts.joining import hang_up, refuse_tight_hip
from drafting.styles.parts.skirts.stand import add_stand

_RATIOS = (
    ("1.5", "one and a half times"),
    ("2", "twice"),
    ("2.5", "two and a half times"),
    ("3", "three times"),
)
_SHALLOWEST = 40.0  # mm: a tier less deep would be all seam and hem
_ZIP_ROOM = 20.0  # mm that a zip ends above the first tier's seam
_ONE_TIER = "The front of a tiered skirt does not open; choose one tier, or another closure."


def _fullness(name: str, title: str) -> Choice:
    return Choice(name, title, "option", "2", _RATIOS, help="Cloth before gathering, over the seam.")


FULLNESS = _fullness("fullness", "Fullness of the skirt")
TIERS = Choice("tiers", "Tiers", "count", 1, low=1, high=3)
LOWER = (
    _fullness("fullness_2", "Fullness of the second tier"),
    _fullness("fullness_3", "Fullness of the third tier"),
)


@dataclass(frozen=True, slots=True)
class GatheredSkirt:
    """Rectangles gathered into the seam that the skirt hangs from; further tiers into one another."""

    most: int = 1
    default: int = 1
    needs: tuple[str, ...] = NEEDS
    clashes: tuple[Clash, ...] = (Clash("closure", (FRONT_BUTTONS,), "tiers", (2, 3), _ONE_TIER),)

    @property
    def choices(self) -> tuple[Choice, ...]:
        if self.most == 1:
            return (SKIRT_LENGTH, FULLNESS)
        number = Choice(TIERS.name, TIERS.title, "count", self.default, low=1, high=self.most)
        return (SKIRT_LENGTH, number, FULLNESS, *LOWER[: self.most - 1])

    def make(self, making: Making) -> None:
        """Draw the tiers and gather each into what it hangs from. Raises: BadChoice, CannotDraft."""
        hung = hang(making, fitted=False)
        drawn = tiers(2 * sum(hung.seams.values()), hung.length, _ratios(making, self.default))
        _refuse_tight(making, hung, drawn)
        first, *lower = drawn
        ratio = first.width / first.seam
        _shorten_zip(making, hung, first)
        for side in SIDES:
            _add_first(making, side, ratio * hung.seams[side], first.depth, hung, last=not lower)
        ease = {side: (ratio - 1) * hung.seams[side] for side in SIDES}
        hang_up(making, hung, Method.GATHERED, ease, hem=drawn[-1].width)
        _add_lower(making, lower, hung)
        add_stand(making, hung)
        making.note(
            Phase.WAIST,
            "Gather between two rows of long stitches; draw up to the seam, centres and sides on their "
            "marks, and spread the gathers evenly.",
        )


def _ratios(making: Making, default: int) -> list[float]:
    count = int(making.choices.get("tiers", default))
    names = ("fullness", "fullness_2", "fullness_3")[:count]
    return [float(making.chosen(name, "2")) for name in names]


def _refuse_tight(making: Making, hung: Hang, drawn: tuple[Tier, ...]) -> None:
    advice = "choose a fuller skirt"
    refuse_tight_hip(making, hung, drawn[0].width, advice, "fullness")
    depth = drawn[0].depth
    if depth < _SHALLOWEST:
        raise BadChoice(
            f"{len(drawn)} tiers of so short a skirt would be {depth:.0f} mm deep each; choose fewer tiers, "
            "or a longer skirt",
            field="tiers" if len(drawn) > 1 else "skirt_length",
        )
    widest = 10 * max(making.body["stature"], making.body["hip_girth"])
    if drawn[-1].width > widest:
        raise BadChoice(
            f"the last tier would take {drawn[-1].width / 1000:.1f} m of cloth all round, more than can be "
            "worn; choose less fullness or fewer tiers",
            field="tiers",
        )


def _shorten_zip(making: Making, hung: Hang, first: Tier) -> None:
    """A zip ends above the seam of the first tier, which gives room below it."""
    centre = making.centre("skirt back")
    if centre.kind == "zip":
        deepest = first.depth - hung.top - _ZIP_ROOM
        if centre.depth > deepest:
            making.centres["skirt back"] = type(centre)("zip", centre.extension, deepest)


def _add_first(making: Making, side: str, width: float, depth: float, hung: Hang, *, last: bool) -> None:
    needs_centre_seam(making, side, 2 * width)
    corner, foot = Point(width, 0.0), Point(width, -depth)
    drawn = Drawn(
        (seam_stroke(making, "waist", Path.line(Point(0.0, 0.0), corner)),),
        Path.line(corner, foot),
        Path.line(Point(0.0, -depth), foot),
        upright_grain(0.3 * width, hung if last else _as_long(hung, depth)),
        hem_depth(making, hung),
    )
    sketch = add_panel(making, side, drawn, hung)
    if not last:
        # What would be the hem is sewn to the next tier.
        sketch.put("hem", seam_stroke(making, "hem", sketch.path("hem")))
        sketch.turned = ()


def _as_long(hung: Hang, length: float) -> Hang:
    return Hang(hung.seams, hung.hips, hung.top, length, hung.hip_level, hung.reaches_hip, hung.separate)


def _add_lower(making: Making, lower: list[Tier], hung: Hang) -> None:
    """Each further tier is a ring of equal strips."""
    above: Run = ()
    for side in SIDES:
        above += making.lines[f"skirt {side} hem"] * 2
    for number, tier in enumerate(lower, start=2):
        last = number == len(lower) + 1
        name, strips = f"skirt tier {number}", tier.strips(making.house["panel_widest"])
        making.add(_strip(making, name, tier, strips, hem_depth(making, hung) if last else None))
        ends = run(name, "end"), run(name, "start")
        making.sew(Phase.SKIRT, f"ends of tier {number}", *ends, times=strips)
        top = run(name, "top") * strips
        ease = tier.width - tier.seam
        making.sew(
            Phase.SKIRT, f"tier {number} to the tier above", top, above, Method.GATHERED, times=1, ease=ease
        )
        above = run(name, "hem") * strips


def _strip(making: Making, name: str, tier: Tier, strips: int, hem: float | None) -> Sketch:
    """One strip; ``hem`` is None where another tier follows."""
    width, y = tier.width / strips, -tier.depth
    corners = Point(0.0, 0.0), Point(width, 0.0), Point(width, y), Point(0.0, y)
    a, b, c, d = corners
    foot = seam_stroke(making, "hem", Path.line(d, c))
    if hem is not None:
        foot = Stroke("hem", Path.line(d, c), EdgeKind.HEM, hem)
    return Sketch(
        name,
        [
            seam_stroke(making, "top", Path.line(a, b)),
            seam_stroke(making, "end", Path.line(b, c)),
            foot,
            seam_stroke(making, "start", Path.line(a, d)),
        ],
        (Cut("shell", strips),),
        (Point(0.5 * width, 0.85 * y), Point(0.5 * width, 0.25 * y)),
        turned=("hem",) if hem is not None else (),
    )
