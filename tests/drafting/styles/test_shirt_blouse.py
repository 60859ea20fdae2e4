"""The shirt blouse: shirt collar, cuffed sleeves set in flat, buttons down the front."""

from __future__ import annotations

import pytest

from drafting.body import Body
from drafting.finishing import finish
from drafting.house import house_rules
from drafting.pattern import Draft, Method
from drafting.styles.choices import ChoiceValue, read_all
from drafting.styles.shirt_blouse import STYLE
from drafting.truing import check
from drafting.units import Unit

WOMAN = Body.of({"stature": 1629, "bust_girth": 907, "waist_girth": 725, "hip_girth": 967})
STOUT = Body.of({"stature": 1650, "bust_girth": 1400, "waist_girth": 1300, "hip_girth": 1450})
BOY = Body.of({"stature": 1220, "bust_girth": 630, "waist_girth": 575, "hip_girth": 670}, age_years=7)


def drafted(body: Body, **choices: ChoiceValue) -> Draft:
    return finish(STYLE.recipe(body, read_all(STYLE, choices, Unit.MM), house_rules()))


@pytest.mark.parametrize("body", [WOMAN, STOUT, BOY], ids=["woman", "stout", "boy"])
@pytest.mark.parametrize(
    "choices", [{}, {"sleeve": "bishop", "collar": "stand"}, {"sleeve": "short", "fit": "darts"}]
)
def test_a_blouse_passes_every_check(body: Body, choices: dict[str, ChoiceValue]) -> None:
    rows = check(drafted(body, **choices))

    assert [f"{row.name} {row.value} {row.remark}" for row in rows if not row.ok] == []
    assert len(rows) > 50


def test_a_blouse_has_cuffs_with_a_bound_slit() -> None:
    draft = drafted(WOMAN)

    assert {"sleeve", "cuff", "slit strip", "collar", "collar stand"} <= {
        piece.name for piece in draft.pieces
    }
    sewn = {seam.name: seam.method for seam in draft.seams}
    assert sewn["armhole"] is Method.PLAIN
    assert sewn["sleeve to its cuff"] is Method.GATHERED
    assert sewn["lap of the cuff"] is Method.ENCLOSED
    assert {notion.remark for notion in draft.notions if notion.kind == "button"} >= {"cuffs"}
