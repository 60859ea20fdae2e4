"""A dress to try necklines, collars and buttons on, drafted without being a style of the house."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from random import Random

from drafting.body import Body
from drafting.finishing import finish
from drafting.house import house_rules
from drafting.pattern import Check, Draft
from drafting.styles.choices import ChoiceValue, Style, read_all
from drafting.styles.parts.buttons import FrontButtons
from drafting.styles.parts.closures import BACK_ZIP, FRONT_BUTTONS, NONE, Closure, ZipIn
from drafting.styles.parts.collars import Collar
from drafting.styles.parts.necklines import Neckline
from drafting.styles.parts.part import composed
from drafting.styles.parts.skirts import GatheredSkirt
from drafting.styles.parts.sleeves import NO_SLEEVE, Sleeves
from drafting.styles.parts.uppers import FittedBodice, Tunic
from drafting.truing import check
from drafting.units import Unit

DRESS = composed(
    "tried-dress",
    "Dress to try",
    "Every neckline, collar and closure on a fitted bodice.",
    (
        Closure((BACK_ZIP, FRONT_BUTTONS, NONE)),
        FittedBodice(),
        Neckline(),
        Collar(),
        Sleeves((NO_SLEEVE,)),
        GatheredSkirt(),
        ZipIn(),
        FrontButtons(),
    ),
)
TUNIC = composed(
    "tried-tunic",
    "Tunic to try",
    "Every neckline and collar on a front without a waist seam.",
    (
        Closure((FRONT_BUTTONS, NONE)),
        Tunic(),
        Neckline(),
        Collar(),
        Sleeves((NO_SLEEVE,)),
        FrontButtons(),
    ),
)
BODIES = {
    "adult": {"stature": 1680.0, "bust_girth": 920.0, "waist_girth": 740.0, "hip_girth": 980.0},
    "child": {"stature": 1160.0, "bust_girth": 590.0, "waist_girth": 550.0, "hip_girth": 620.0},
    "baby": {"stature": 700.0, "bust_girth": 470.0, "waist_girth": 460.0, "hip_girth": 480.0},
    "stout": {"stature": 1650.0, "bust_girth": 1300.0, "waist_girth": 1180.0, "hip_girth": 1350.0},
}


def drafted(
    choices: Mapping[str, ChoiceValue],
    body: Mapping[str, float] | str = "adult",
    style: Style = DRESS,
    house: Mapping[str, float] | None = None,
) -> Draft:
    """A finished draft with its checks. Raises: BadChoice, CannotDraft."""
    wearer = Body.of(BODIES[body] if isinstance(body, str) else body)
    rules = house_rules(house or {})
    draft = finish(style.recipe(wearer, read_all(style, choices, Unit.MM), rules))
    return replace(draft, checks=check(draft))


def failed(draft: Draft) -> list[Check]:
    return [row for row in draft.checks if not row.ok]


def sampled(style: Style, seed: int, count: int) -> list[tuple[dict[str, float], dict[str, ChoiceValue]]]:
    """Bodies and choices, the same for the same seed; lengths are left to the house most of the time."""
    rng = Random(seed)
    return [(_body(rng), _choices(style, rng)) for _ in range(count)]


def _body(rng: Random) -> dict[str, float]:
    stature = rng.uniform(600, 2000)
    bust = min(max(stature * rng.uniform(0.4, 1.0), 350), 1600)
    return {
        "stature": stature,
        "bust_girth": bust,
        "waist_girth": max(bust * rng.uniform(0.62, 1.1), 320),
        "hip_girth": max(bust * rng.uniform(0.88, 1.25), 350),
    }


def _choices(style: Style, rng: Random) -> dict[str, ChoiceValue]:
    found: dict[str, ChoiceValue] = {}
    for choice in style.choices:
        if choice.kind == "option" and rng.random() < 0.7:
            found[choice.name] = rng.choice(choice.options)[0]
        elif choice.kind == "length" and rng.random() < 0.15:
            low, high = choice.low or 0.0, choice.high or 0.0
            found[choice.name] = low + (high - low) * rng.random() ** 2
    return found
