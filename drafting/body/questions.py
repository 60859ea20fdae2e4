"""Measurements that are possible but unlikely, alone or together: the page asks before it takes them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from drafting.body.catalogue import CATALOGUE, ESSENTIAL
from drafting.body.estimates import ESTIMATORS
from drafting.body.person import Body, checked, checked_age
from drafting.units import Unit, format_length


@dataclass(frozen=True, slots=True)
class Question:
    """What to ask, and beside which measurement."""

    field: str
    message: str


# Stature at two to nineteen years, cm: three standard deviations below the shorter and above the taller
# of girls and boys. Source: WHO height for age (child growth standards, reference 2007), median and sd.
_STATURE_AT_AGE: Final[Mapping[int, tuple[float, float]]] = {
    2: (76.0, 96.3),
    3: (83.7, 107.2),
    4: (89.8, 115.9),
    5: (95.1, 123.9),
    6: (99.7, 130.8),
    7: (104.4, 137.6),
    8: (109.2, 144.3),
    9: (114.2, 150.8),
    10: (118.7, 157.8),
    11: (122.9, 165.0),
    12: (127.8, 171.7),
    13: (133.7, 178.3),
    14: (139.0, 186.3),
    15: (141.1, 192.4),
    16: (142.1, 196.2),
    17: (142.8, 198.1),
    18: (143.3, 198.5),
    19: (143.6, 198.4),
}


def questions(measurements: Mapping[str, float], *, age_years: float | None = None) -> tuple[Question, ...]:
    """Return what should be asked about these measurements (mm), in the catalogue's order.

    Looks only at what was given; missing essentials are no question here. Empty where nothing is unlikely.

    Raises: BadMeasurement where a value cannot be a measurement at all (see ``Body.of``).
    """
    given = checked(measurements)
    age = checked_age(age_years)
    asked = [*_contradictions(given), *_age_questions(given, age)]
    if all(name in given for name in ESSENTIAL):
        asked += [*_girth_questions(given), *_far_from_estimate(given, age)]
    order = list(CATALOGUE)
    once = {question.field + question.message: question for question in asked}
    return tuple(sorted(once.values(), key=lambda question: order.index(question.field)))


@dataclass(frozen=True, slots=True)
class _Contradiction:
    """Two measurements that hardly go together; ``field`` is asked about, ``message`` may use {a} and {b}."""

    field: str
    other: str
    unlikely: Callable[[float, float], bool]
    message: str


# All limits: common practice, no source; wide enough for the rows of ANSUR II to pass.
_CONTRADICTIONS: Final = (
    _Contradiction(
        "waist_girth",
        "hip_girth",
        lambda waist, hip: waist > 1.15 * hip,
        "the waist ({a}) is much larger than the hip ({b}); were they exchanged, or the hip taken too high?",
    ),
    _Contradiction(
        "waist_girth",
        "bust_girth",
        lambda waist, bust: waist > 1.15 * bust,
        "the waist ({a}) is much larger than the bust ({b}); were they exchanged?",
    ),
    _Contradiction(
        "front_waist_length",
        "back_waist_length",
        lambda front, back: front < back - 20,
        "the front length ({a}) is shorter than the back length ({b}); was it taken from the hollow of "
        "the neck instead of the side of the neck?",
    ),
    _Contradiction(
        "front_waist_length",
        "back_waist_length",
        lambda front, back: front > back + 120,
        "the front length ({a}) is much longer than the back length ({b}); did both end at the cord?",
    ),
    _Contradiction(
        "neck_to_bust_point",
        "front_waist_length",
        lambda bust_point, front: bust_point > front - 30,
        "the bust point ({a} from the neck) lies at or below the waist ({b} from the neck)",
    ),
    _Contradiction(
        "armscye_depth",
        "back_waist_length",
        lambda depth, back: depth > 0.7 * back,
        "the armhole depth ({a}) takes most of the back length ({b}); were they exchanged?",
    ),
    _Contradiction(
        "chest_width",
        "back_width",
        lambda chest, back: chest > 1.2 * back,
        "the chest ({a}) is much wider than the back ({b}); were they exchanged?",
    ),
    _Contradiction(
        "chest_width",
        "bust_girth",
        lambda chest, bust: chest > 0.48 * bust,
        "the chest width ({a}) is nearly half the bust ({b}); it is taken from arm crease to arm crease",
    ),
    _Contradiction(
        "back_width",
        "bust_girth",
        lambda back, bust: back > 0.52 * bust,
        "the back width ({a}) is half the bust ({b}) or more; it is taken from arm crease to arm crease",
    ),
    _Contradiction(
        "bust_point_width",
        "chest_width",
        lambda points, chest: points > 0.9 * chest,
        "the bust points ({a} apart) are as far apart as the chest is wide ({b})",
    ),
    _Contradiction(
        "shoulder_length",
        "back_width",
        lambda shoulder, back: shoulder > 0.55 * back,
        "one shoulder ({a}) is longer than half the back width ({b}); was it taken across both shoulders?",
    ),
    _Contradiction(
        "upper_arm_girth",
        "armscye_girth",
        lambda arm, hole: arm > hole,
        "the upper arm ({a}) is thicker than the armhole around it ({b}); were they exchanged?",
    ),
    _Contradiction(
        "wrist_girth",
        "upper_arm_girth",
        lambda wrist, arm: wrist > 0.9 * arm,
        "the wrist ({a}) is nearly as thick as the upper arm ({b}); were they exchanged?",
    ),
    _Contradiction(
        "arm_length",
        "stature",
        lambda arm, stature: arm > 0.42 * stature,
        "the arm ({a}) is very long for the height ({b}); was it taken from the nape?",
    ),
    _Contradiction(
        "waist_height",
        "stature",
        lambda waist, stature: not 0.5 * stature < waist < 0.75 * stature,
        "a waist {a} above the floor does not go with a height of {b}",
    ),
    _Contradiction(
        "waist_to_knee",
        "waist_height",
        lambda knee, waist: knee > 0.75 * waist,
        "the knee ({a} below the waist) lies too near the floor for a waist at {b}",
    ),
    _Contradiction(
        "waist_to_hip",
        "waist_to_knee",
        lambda hip, knee: hip > 0.6 * knee,
        "the hip ({a} below the waist) lies nearer to the knee ({b}) than to the waist",
    ),
    _Contradiction(
        "neck_base_girth",
        "bust_girth",
        lambda neck, bust: neck > 0.65 * bust,
        "the neck ({a}) is very large for a bust of {b}",
    ),
)


def _contradictions(given: Mapping[str, float]) -> Iterator[Question]:
    for rule in _CONTRADICTIONS:
        if rule.field in given and rule.other in given:
            a, b = given[rule.field], given[rule.other]
            if rule.unlikely(a, b):
                yield Question(rule.field, _sentence(rule.message.format(a=_both(a), b=_both(b))))


def _age_questions(given: Mapping[str, float], age: float | None) -> Iterator[Question]:
    if age is None or "stature" not in given:
        return
    low, high = _STATURE_AT_AGE[max(2, min(19, int(age)))]
    # Between two birthdays a child may have grown as far as the next year's limit.
    high = _STATURE_AT_AGE[max(2, min(19, int(age) + 1))][1]
    stature = given["stature"] / 10
    if not low <= stature <= high:
        yield Question(
            "stature",
            f"A height of {_both(stature * 10)} is unusual at {age:g} years ({low:.0f} to {high:.0f} cm): "
            "are height, age and unit right?",
        )


@dataclass(frozen=True, slots=True)
class _Shares:
    """The share of the stature within which a girth is expected."""

    low: float
    high: float


# Common practice, no source; ANSUR II women lie between 0.42 and 0.82 (bust), 0.36 and 0.85 (waist, navel),
# 0.49 and 0.84 (hip) by the extremes of each.
_GIRTH_SHARES: Final[Mapping[str, _Shares]] = {
    "bust_girth": _Shares(0.42, 0.95),
    "waist_girth": _Shares(0.31, 0.95),
    "hip_girth": _Shares(0.44, 1.0),
}
_CM_PER_IN: Final = 2.54


def _girth_questions(given: Mapping[str, float]) -> Iterator[Question]:
    stature = given["stature"]
    for name, share in _GIRTH_SHARES.items():
        girth = given[name]
        if share.low * stature <= girth <= share.high * stature:
            continue
        word, size = CATALOGUE[name].word, "small" if girth < share.low * stature else "large"
        hint = _unit_hint(girth, share.low * stature, share.high * stature)
        yield Question(name, f"A {word} of {_both(girth)} is {size} for a height of {_both(stature)}.{hint}")


def _unit_hint(girth: float, low: float, high: float) -> str:
    """Ask about the unit where the other one would make the girth a likely one."""
    if low <= girth * _CM_PER_IN <= high:
        return f" Were inches typed as centimetres? {girth / 10:.4g} in would be {_both(girth * _CM_PER_IN)}."
    if low <= girth / _CM_PER_IN <= high:
        return (
            f" Were centimetres typed as inches? {girth / 25.4:.4g} cm would be {_both(girth / _CM_PER_IN)}."
        )
    return ""


def _far_from_estimate(given: Mapping[str, float], age: float | None) -> Iterator[Question]:
    """Each measurement more than three standard deviations from what the others say it should be."""
    for name in ESTIMATORS:
        if name not in given:
            continue
        others = {other: value for other, value in given.items() if other != name}
        guess = Body.of(others, age_years=age).measure(name)
        error = guess.error or 0.0
        if abs(given[name] - guess.value) > 3 * error:
            yield Question(
                name,
                f"{CATALOGUE[name].word.capitalize()} of {_both(given[name])} is far from what the other "
                f"measurements suggest ({_both(guess.value)}, give or take {error:.0f} mm): please measure "
                "again or confirm.",
            )


def _both(mm: float) -> str:
    return f"{format_length(mm, Unit.CM)} cm / {format_length(mm, Unit.IN)} in"


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:] + ("" if text.endswith(("?", ".")) else ".")
