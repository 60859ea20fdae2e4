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
from drafting.body import Body
from drafting.errors import BadChoice
from drafting.output.contract import contract_text
from drafting.styles import STYLES
from tests.drafting.styles.outcomes import outcome, tallied
from tests.drafting.styles.wearers import (
    EXTREMES,
    NAME,
    Case,
    Choices,
    Numbers,
    cases,
    dressed_cases,
    plain_cases,
    random_cases,
)

ROOT = Path(__file__).resolve().parents[3]


def found(
    style: str,
    body: tuple[float, float, float, float],
    choices: Choices | None = None,
    house: Numbers | None = None,
    fit: Numbers | None = None,
) -> Case:
    """A case by stature, bust, waist and hip."""
    names = ("stature", "bust_girth", "waist_girth", "hip_girth")
    return Case(dict(zip(names, body, strict=True)), choices or {}, house or {}, style, fit or {})


WIDE_ALLOWANCE = {"seam_allowance": 38.1}
SQUARE_LINED: Choices = {"neckline": "square", "neck_finish": "facing", "lining": "bodice"}

# Found by sweeps, each a fault once.
FOUND = {
    "gathers on a neckline that slants past its dart": found(
        "sheath-dress",
        (1629, 898, 712, 975),
        {"neckline": "v", "bust_dart": "neckline gathers"},
        {"enclosed_allowance": 15.875},
    ),
    "a waist far wider than the bust": found(NAME, (1144, 1029, 1117, 1136)),
    "three darts on little cloth": found(NAME, (1707, 1450, 917, 1562)),
    "a lapel beyond a narrow armhole": found(
        NAME, (1278, 1125, 1112, 1142), {"break_point": "half-way", "lapel_width": 160.0}
    ),
    "a shoulder and a neck that are nearly one line": found(
        NAME, (877, 852, 597, 870), {}, {"back_neck_depth": 3.175, "shoulder_slope_deg": 8.0}
    ),
    "a deep armhole and no shaping at the side": found(
        NAME, (986, 905, 567, 841), {}, {"armhole_ease": 50.8, "side_share": 0.0}
    ),
    "take-ups that meet at a wide allowance's cut line": found(
        "coat-dress", (827, 619, 400, 696), {}, WIDE_ALLOWANCE
    ),
    "the same on a lapelled front": found(
        "coat-dress",
        (1291.467, 899.035, 572.87, 1057.441),
        {"sit": "loose", "collar": "notched", "sleeve": "short", "sleeve_end": "hem"},
        {"sleeve_ease": 152.4, **WIDE_ALLOWANCE},
    ),
    "take-ups that reach over the next dart": found(
        "coat-dress",
        (1389.795, 1379.392, 892.313, 1527.219),
        {
            "sit": "loose",
            "collar": "set-on notched",
            "sleeve": "elbow",
            "sleeve_end": "cuff",
            "lining": "full",
            "princess": "armhole",
        },
        {"zip_allowance": 38.1, **WIDE_ALLOWANCE},
    ),
    "a take-up past the top of the next dart's roof": found(
        "coat-dress",
        (1558.085, 1292.15, 937.018, 1393.738),
        {
            "sit": "loose",
            "collar": "shawl",
            "sleeve": "elbow",
            "lining": "bodice",
            "princess": "shoulder",
        },
        {"dart_greatest": 19.05, **WIDE_ALLOWANCE},
        {"sway_back": 20.0},
    ),
    "a waist that bends beside a dart more tightly than its allowance is wide": found(
        "school-dress",
        (934, 883, 548, 878),
        {"pleat_kind": "inverted", "pleated": "front", "pleats": 1},
        {"skirt_waist_ease": 25.4, **WIDE_ALLOWANCE},
    ),
    "the same below a bodice that is short behind": found(
        "school-dress",
        (841, 403, 320, 451),
        {"pleat_kind": "inverted", "pleated": "front", "pleats": 3},
        {"skirt_waist_ease": 76.2, **WIDE_ALLOWANCE},
        {"sway_back": 20.0},
    ),
    "a take-up on a waist that bends tightly into the side": found(
        "school-dress",
        (1229, 714, 466, 883),
        {"cloth_kind": "stretch", "pleat_kind": "box", "pleated": "front", "pleats": 4},
        {"skirt_waist_ease": 76.2, **WIDE_ALLOWANCE},
    ),
    "a waist so short and bent beside a dart that the side's cut line ends there": found(
        "straight-skirt",
        (757, 499, 324, 577),
        {"sit": "loose", "cloth_kind": "woven", "closure": "centre-back zip"},
        {"skirt_waist_ease": 25.4, **WIDE_ALLOWANCE},
    ),
    "a pocket bag on a side that has come upright at its foot": found(
        "straight-skirt",
        (1639, 1138, 785, 1409),
        {
            "cloth_kind": "stretch",
            "closure": "front buttons",
            "walking": "side slits",
            "pockets": "side-seam",
        },
        WIDE_ALLOWANCE,
    ),
    "a take-up past the end of a tightly curved waist": found(
        "straight-skirt", (611.476, 477.893, 365.167, 486.5), {}, WIDE_ALLOWANCE
    ),
    "a tunic's darts on a stout child": found("shirt-blouse", (896, 766, 660, 944), {"fit": "darts"}),
    "a second bust dart drawn back to a stump": found(
        "shift-dress",
        (779.158, 723.107, 650.413, 644.889),
        {"neckline": "scoop", "sleeve": "bell", "room": 90.7},
    ),
    "tiers that are all seam": found(
        "tiered-skirt", (1629, 907, 725, 967), {"skirt_length": 60.0, "tiers": 3}
    ),
    "a lining that bends below the hem of a short skirt": found(
        "circle-skirt",
        (1476, 751, 815, 716),
        {"cloth_kind": "stretch", "skirt_length": 60.0, "circle": "three-quarter", "skirt_lining": True},
    ),
    "a princess line out of a steep armhole": found(
        "princess-dress",
        (854.683, 390.433, 320, 411.985),
        {
            "sit": "loose",
            "neckline": "boat",
            "neck_finish": "bias strip",
            "sleeve": "elbow",
            "princess": "armhole",
        },
    ),
    "a lining whose facing runs over a dart": found(
        "princess-dress",
        (940.86, 644.082, 410.696, 683.592),
        {**SQUARE_LINED, "cloth_kind": "stretch", "closure": "front buttons"},
        {"across_ease": 25.4},
    ),
    "a lining without room beside a square neckline": found(
        "sheath-dress", (716, 476, 421, 554), SQUARE_LINED
    ),
    "a collar stand too low for a grain line across": found(
        "shirt-blouse", (1274, 638, 613, 753), {"collar": "shirt"}, {"collar_stand": 12.7}
    ),
    "a dart shorter than its seam's allowance is wide": found(
        "party-dress",
        (1753, 1085, 842, 975),
        {"cloth_kind": "stretch", "waist_seam": "raised", "bust_dart": "shoulder"},
        WIDE_ALLOWANCE,
    ),
    "a dropped seam above a hip that flares too much": found(
        "party-dress",
        (1593, 1396, 1022, 1721),
        {"sit": "loose", "waist_seam": "dropped"},
        {"loose_more": 12.7, "loose_hip_ease": 304.8},
    ),
}


@pytest.mark.parametrize("fault", FOUND)
def test_make_draft_of_what_was_found_once_is_right(fault: str) -> None:
    assert outcome(FOUND[fault]) in {"right", "refused"}


@pytest.mark.parametrize("style", STYLES)
@settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_any_wearer_with_any_choices_is_drafted_right_or_refused(style: str, data: st.DataObject) -> None:
    assert outcome(data.draw(cases(style))) in {"right", "refused"}


@pytest.mark.long
@pytest.mark.parametrize("style", STYLES)
def test_nearly_any_wearer_is_drafted_right(style: str) -> None:
    """A refusal is never the easy way out: of random choices half are drawn, of plain ones most."""
    told = [outcome(case) for case in random_cases(24, seed=5, style=style)]
    plain = [outcome(case) for case in plain_cases(20, seed=7, style=style)]

    assert set(told) | set(plain) <= {"right", "refused"}
    assert told.count("right") >= 10
    assert plain.count("right") >= 16


@pytest.mark.parametrize("style", STYLES)
def test_extreme_bodies_are_drafted_right_or_refused(style: str) -> None:
    """Each with choices at random; and as the house has it, where next to nothing is refused."""
    dressed = tallied(dressed_cases(list(EXTREMES.values()), seed=11, style=style))
    plain = tallied(Case(body, {}, {}, style) for body in EXTREMES.values())

    assert dressed.faults + plain.faults == []
    assert plain.right >= len(EXTREMES) - 3, dict(plain.refused)


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
