"""The bodice block beside published drafts.

Vincent, Systems of Cutting, p. 39 (public domain): scye depth = breast / 6 + 3 in; breast 36 gives 9.
Aldrich, Metric Pattern Cutting for Women's Wear, size 12, from memory: bust 88, nape to waist 41, neck 37,
back width 34.4, armhole depth 21.0 cm, half back neck width = neck / 5 - 0.2 = 7.2 cm. ANSUR 1988 (published
table): scye depth of the body 185.7 mm, sd 14.4. Both drafts lie above the bare body: they include ease.
"""

from __future__ import annotations

import pytest

from drafting.blocks import rules
from drafting.blocks.bodice import Bodice, draft_bodice
from drafting.body import Body
from drafting.house import HOUSE_RULES, INCH, house_rules

BODY_SCYE = 185.7  # mm, ANSUR 1988, women
HOUSE = house_rules()
ALDRICH_12 = {
    "stature": 1640.0,
    "bust_girth": 880.0,
    "waist_girth": 680.0,
    "hip_girth": 940.0,
    "neck_base_girth": 370.0,
    "back_waist_length": 410.0,
    "back_width": 344.0,
    "armscye_depth": BODY_SCYE,
}


def block(**changes: float) -> Bodice:
    return draft_bodice(Body.of({**ALDRICH_12, **changes}), HOUSE)


def test_armhole_with_a_sleeve_is_as_deep_as_aldrichs() -> None:
    drawn = BODY_SCYE + HOUSE["armhole_ease_sleeved"]

    assert drawn == pytest.approx(210.0, abs=3.0)


def test_vincents_deeper_armhole_lies_within_the_limits_of_the_house() -> None:
    vincent = 36 / 6 + 3

    assert vincent == 9
    for name in ("armhole_ease", "armhole_ease_sleeved"):
        rule = HOUSE_RULES[name]
        assert BODY_SCYE + rule.low < vincent * INCH < BODY_SCYE + rule.high


def test_neck_is_as_wide_as_aldrichs() -> None:
    assert rules.neck_width_for(BODY_SCYE, 370.0, HOUSE) == pytest.approx(72.0)
    assert block().back.neck.x == pytest.approx(72.0)


def test_back_is_drawn_as_wide_as_measured_with_the_ease_of_the_house() -> None:
    assert block().proportions.across_back == pytest.approx(344.0 / 2 + HOUSE["across_ease"])


def test_a_back_that_is_estimated_is_aldrichs_within_two_errors() -> None:
    """ANSUR II, women: the error of an estimated back width is 22.9 mm (one standard deviation)."""
    measured = {name: value for name, value in ALDRICH_12.items() if name != "back_width"}

    estimate = Body.of(measured).measure("back_width")

    assert estimate.error == pytest.approx(22.93, abs=0.01)
    assert abs(estimate.value - 344.0) < 2 * estimate.error


def test_nape_to_waist_is_the_measure_itself() -> None:
    assert block().proportions.nape == 410.0
