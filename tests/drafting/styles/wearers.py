"""Bodies and choices to try the styles on: every size from a baby to the stoutest adult, limits included."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from random import Random
from typing import Any

from hypothesis import strategies as st

from drafting import make_draft
from drafting.body import FIT_NOTES, Body
from drafting.house import HOUSE_RULES
from drafting.pattern import Draft
from drafting.styles import STYLES, Choice, Style

NAME = "notched-collar-dress"
STATURES = (600.0, 2000.0)
BUSTS = (350.0, 1600.0)
_CHOSEN = 0.4  # lengths of a garment that are chosen, on average
_EXTREME = 0.2  # of those that lie at a limit of the form, which are meant for the smallest and the tallest
Numbers = dict[str, float]
Choices = dict[str, str | float | int | bool]


def four(stature: float, bust: float, waist: float, hip: float) -> Numbers:
    """The essential measurements, mm."""
    return {"stature": stature, "bust_girth": bust, "waist_girth": waist, "hip_girth": hip}


# The ends of what is drafted, in mm; beside the essential four what makes a body hard to draft.
EXTREMES: dict[str, Numbers] = {
    "a newborn of 60 cm": four(600, 420, 420, 430),
    "a baby of 80 cm": four(800, 490, 480, 500),
    "a thin child, bust 50 cm": four(1100, 500, 470, 530),
    "a stout child": four(1250, 900, 900, 930),
    "a tall thin adult": four(2000, 800, 640, 880),
    "a tall stout adult": four(2000, 1600, 1500, 1650),
    "a short stout adult, bust 160 cm": four(1480, 1600, 1450, 1600),
    "bust 160 cm over a slim waist": four(1650, 1600, 1050, 1250),
    "a waist larger than the bust": four(1600, 1000, 1180, 1120),
    "a waist larger than bust and hip": four(1650, 1100, 1300, 1080),
    "the last month of a pregnancy": four(1650, 1020, 1140, 1080),
    "a hip far larger than the bust": four(1650, 880, 740, 1250),
    "square: all girths alike": four(1600, 900, 900, 900),
    "a narrow back under a large bust": four(1650, 1300, 1000, 1150)
    | {"back_width": 370, "chest_width": 350},
    "broad shoulders over a small bust": four(1750, 860, 700, 900)
    | {"back_width": 420, "shoulder_length": 160},
    "a long front": four(1650, 1250, 950, 1100) | {"front_waist_length": 540, "back_waist_length": 420},
    "a short back": four(1450, 1000, 900, 1000) | {"back_waist_length": 330},
    "thick arms": four(1620, 1150, 1000, 1150) | {"upper_arm_girth": 460},
}


@dataclass(frozen=True)
class Case:
    """What ``make_draft`` is given; plain values, so that a failing one can be copied into a test."""

    measurements: Numbers
    choices: Choices
    house: Numbers
    style: str = NAME
    fit: Numbers = field(default_factory=dict)

    def draft(self) -> Draft:
        """The draft. Raises: DraftingError."""
        return make_draft(self.style, Body.of(self.measurements, fit=self.fit), self.choices, self.house)


def _measurements(stature: float, bust_share: float, waist_share: float, hip_share: float) -> Numbers:
    """The essential four: the bust as a share of the stature, waist and hip as shares of the bust."""
    bust = min(max(stature * bust_share, BUSTS[0]), BUSTS[1])
    return {
        "stature": stature,
        "bust_girth": bust,
        "waist_girth": max(bust * waist_share, 320.0),
        "hip_girth": max(bust * hip_share, 350.0),
    }


def _value(choice: Choice) -> st.SearchStrategy[Any]:
    if choice.kind == "option":
        return st.sampled_from([value for value, _ in choice.options])
    if choice.kind == "switch":
        return st.booleans()
    low, high = choice.low or 0.0, choice.high or 0.0
    if choice.kind == "count":
        return st.integers(int(low), int(high))
    # Most lengths are left to the house: a dress of nothing but extremes is hardly ever drawn.
    return st.one_of(
        st.just(0.0), st.just(0.0), st.just(0.0), st.sampled_from([low, high]), st.floats(low, high)
    )


def cases(style: str = NAME, *, house: bool = True) -> st.SearchStrategy[Case]:
    """Any body with any choices; with up to three house rules and one fit note at one of their limits."""
    limits = {name: st.sampled_from([rule.low, rule.high]) for name, rule in HOUSE_RULES.items()}
    rules = st.lists(st.sampled_from(sorted(limits)), max_size=3 if house else 0, unique=True).flatmap(
        lambda names: st.fixed_dictionaries({name: limits[name] for name in names})
    )
    body = st.builds(
        _measurements, st.floats(*STATURES), st.floats(0.4, 1.0), st.floats(0.62, 1.1), st.floats(0.88, 1.25)
    )
    chosen = st.fixed_dictionaries({choice.name: _value(choice) for choice in STYLES[style].choices})
    notes = st.one_of(
        st.just({}),
        *(
            st.sampled_from(
                [{note.name: note.low}, {note.name: note.high}] if note.low else [{note.name: note.high}]
            )
            for note in FIT_NOTES.values()
        ),
    )
    return st.builds(Case, body, chosen, rules, st.just(style), notes)


def random_cases(count: int, seed: int, style: str = NAME) -> list[Case]:
    """The same kind of bodies without hypothesis: fast, and the same for the same seed."""
    rng = Random(seed)
    return [_random_case(rng, style) for _ in range(count)]


def plain_cases(count: int, seed: int, style: str = NAME) -> list[Case]:
    """Bodies as they are met, everything else left to the house: what a workshop draws nearly always."""
    return [Case(case.measurements, {}, {}, style) for case in random_cases(count, seed, style)]


def dressed_cases(bodies: Sequence[Numbers], seed: int, style: str) -> list[Case]:
    """These bodies, each with choices, house rules and a fit note of its own; the same for the same seed."""
    rng = Random(seed)
    return [_random_case(rng, style, body) for body in bodies]


def _part(style: Style, choices: Choices) -> None:
    """Let one of two choices that clash go back to its default: they would be refused undrawn."""
    for clash in style.clashes:
        for name in (clash.name, clash.other):
            if clash.holds({c.name: choices.get(c.name, c.default) for c in style.choices}):
                choices.pop(name, None)


def _length(rng: Random, choice: Choice, stature: float) -> float:
    """A length that somebody of this stature may ask for; now and then a limit."""
    low, high = choice.low or 0.0, choice.high or 0.0
    if rng.random() < _EXTREME:
        return rng.choice((low, high))
    most = max(low, high * stature / STATURES[1])
    return rng.uniform(min(low * stature / STATURES[0], most), most)


def _random_case(rng: Random, style: str, body: Numbers | None = None) -> Case:
    body = body or _measurements(
        rng.uniform(*STATURES), rng.uniform(0.4, 1.0), rng.uniform(0.62, 1.1), rng.uniform(0.88, 1.25)
    )
    choices: Choices = {}
    lengths = [choice for choice in STYLES[style].choices if choice.kind == "length"]
    for choice in STYLES[style].choices:
        if choice.kind == "option":
            choices[choice.name] = rng.choice(choice.options)[0]
        elif choice.kind == "switch":
            choices[choice.name] = rng.random() < 0.5
        elif choice.kind == "count":
            low, high = int(choice.low or 0), int(choice.high or 0)
            choices[choice.name] = min(max(rng.choice((1, 2, 3, 3, 4, 6, 12)), low), high)
        elif rng.random() < _CHOSEN / len(lengths):
            choices[choice.name] = _length(rng, choice, body["stature"])
    names = rng.sample(sorted(HOUSE_RULES), rng.randint(1, 4)) if rng.random() < 0.5 else []
    _part(STYLES[style], choices)
    house = {n: rng.choice((HOUSE_RULES[n].low, HOUSE_RULES[n].high)) for n in names}
    note = rng.choice(list(FIT_NOTES.values()))
    fit = {note.name: rng.choice((note.low, note.high))} if rng.random() < 0.2 else {}
    return Case(body, choices, house, style, fit)
