"""Any body with any choices is drafted so that every check passes, or refused with its cause."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drafting import make_draft
from drafting.body import FIT_NOTES, Body
from drafting.errors import BadChoice, CannotDraft
from drafting.house import HOUSE_RULES
from drafting.output.contract import contract_text
from drafting.styles import STYLES
from tests.drafting.styles.wearers import NAME, Case, cases, plain_cases, random_cases

ROOT = Path(__file__).resolve().parents[3]


def fields(style: str) -> set[str]:
    """Where a refusal may lie: a choice, a house rule, a measurement or a fit note."""
    made = STYLES[style]
    return {choice.name for choice in made.choices} | set(HOUSE_RULES) | set(made.needs) | set(FIT_NOTES)


def outcome(case: Case) -> str:
    """``right``, ``refused``, or what is wrong with the draft or with the refusal."""
    try:
        draft = case.draft()
    except (CannotDraft, BadChoice) as refusal:
        if refusal.field not in fields(case.style):
            return f"refused at no field of the form: {refusal.field}"
        return "refused" if len(str(refusal)) > 30 else f"refused without advice: {refusal}"
    faults = [f"{c.name}: {c.value:.3f} > {c.limit:g}" for c in draft.checks if not c.ok]
    return "; ".join(faults) or "right"


# Found by sweeps, each a fault once: a waist far wider than the bust; three darts on little cloth; a lapel
# beyond a narrow armhole; a shoulder and a neck that are nearly one line.
FOUND = (
    Case({"stature": 1144, "bust_girth": 1029, "waist_girth": 1117, "hip_girth": 1136}, {}, {}),
    Case({"stature": 1707, "bust_girth": 1450, "waist_girth": 917, "hip_girth": 1562}, {}, {}),
    Case(
        {"stature": 1278, "bust_girth": 1125, "waist_girth": 1112, "hip_girth": 1142},
        {"break_point": "half-way", "lapel_width": 160.0},
        {},
    ),
    Case(
        {"stature": 877, "bust_girth": 852, "waist_girth": 597, "hip_girth": 870},
        {},
        {"back_neck_depth": 3.175, "shoulder_slope_deg": 8.0},
    ),
    Case(
        {"stature": 986, "bust_girth": 905, "waist_girth": 567, "hip_girth": 841},
        {},
        {"armhole_ease": 50.8, "side_share": 0.0},
    ),
)


@pytest.mark.parametrize("case", FOUND, ids=lambda case: f"{case.style} {case.measurements['stature']:.0f}")
def test_make_draft_of_what_was_found_once_is_right(case: Case) -> None:
    assert outcome(case) in {"right", "refused"}


@pytest.mark.parametrize("style", STYLES)
@settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_any_wearer_with_any_choices_is_drafted_right_or_refused(style: str, data: st.DataObject) -> None:
    assert outcome(data.draw(cases(style))) in {"right", "refused"}


@pytest.mark.parametrize("style", STYLES)
def test_nearly_any_wearer_is_drafted_right(style: str) -> None:
    """A refusal is never the easy way out: with choices as they are met half are drawn, of plain ones most."""
    told = [outcome(case) for case in random_cases(24, seed=5, style=style)]
    plain = [outcome(case) for case in plain_cases(20, seed=7, style=style)]

    assert set(told) | set(plain) <= {"right", "refused"}
    assert told.count("right") >= 10
    assert plain.count("right") >= 16


def test_make_draft_is_the_same_bytes_in_every_process() -> None:
    program = (
        "import hashlib; from drafting import make_draft; from drafting.body import Body; "
        "from drafting.output.contract import contract_text; "
        "body = Body.of({'stature': 1629, 'bust_girth': 907, 'waist_girth': 725, 'hip_girth': 967}); "
        f"text = contract_text(make_draft('{NAME}', body, {{'lining': 'full'}})); "
        "print(hashlib.sha256(text.encode()).hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", program],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for seed in ("1", "2")
    }
    body = Body.of({"stature": 1629, "bust_girth": 907, "waist_girth": 725, "hip_girth": 967})
    here = contract_text(make_draft(NAME, body, {"lining": "full"}))

    assert digests == {hashlib.sha256(here.encode()).hexdigest()}


@pytest.mark.parametrize(
    ("choices", "field", "advice"),
    [
        (
            {"lapel_width": 25.0, "notch_width": 40.0},
            "notch_width",
            "this lapel takes a notch of at most 16 mm",
        ),
        ({"collar_width": 30.0}, "collar_width", "make it at least 35 mm wide"),
        ({"lapel_width": 160.0}, "lapel_width", "mm narrower, or a lower break"),
        ({"pleats": 12, "pleat_kind": "box"}, "pleats", "choose from 1 to 11, or another kind"),
        ({"skirt_length": 90.0}, "skirt_length", "it must end between"),
    ],
)
def test_a_refusal_says_what_would_do(choices: dict[str, str | float], field: str, advice: str) -> None:
    body = Body.of({"stature": 1629, "bust_girth": 907, "waist_girth": 725, "hip_girth": 967})

    with pytest.raises(BadChoice) as refusal:
        make_draft(NAME, body, choices)

    assert refusal.value.field == field
    assert advice in str(refusal.value)
