"""The choir robe: to the ankle, bell sleeves, for any member of the choir."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.body.sizes import size_of
from drafting.errors import BadChoice
from drafting.pattern import Method

WOMAN = Body.of({"stature": 1629, "bust_girth": 907, "waist_girth": 725, "hip_girth": 967})
TENOR = Body.of({"stature": 1830, "bust_girth": 1120, "waist_girth": 1040, "hip_girth": 1100})
CHORISTER = Body.of({"stature": 1220, "bust_girth": 630, "waist_girth": 575, "hip_girth": 670}, age_years=7)


@pytest.mark.parametrize("body", [WOMAN, TENOR, CHORISTER], ids=["woman", "tenor", "chorister"])
@pytest.mark.parametrize("choices", [{}, {"closure": "front buttons"}, {"sleeve": "long", "sit": "loose"}])
def test_a_robe_passes_every_check(body: Body, choices: dict[str, str]) -> None:
    draft = make_draft("choir-robe", body, choices)

    assert [row.name for row in draft.checks if not row.ok] == []
    assert draft.checks


def test_a_robe_ends_at_the_ankle_and_its_sleeve_at_the_wrist() -> None:
    draft = make_draft("choir-robe", WOMAN)

    lowest = min(y for _, y in draft.piece("back").edge("hem").path.flatten())
    assert -lowest / WOMAN["waist_height"] == pytest.approx(0.92, abs=0.02)
    finished = {row.name: row.garment for row in draft.finished}
    assert finished["sleeve length from the shoulder"] == pytest.approx(WOMAN["arm_length"])


def test_its_sleeve_is_half_as_wide_again_at_the_hem_and_set_in_flat() -> None:
    draft = make_draft("choir-robe", WOMAN)
    sleeve = draft.piece("sleeve")
    cap, hem = sleeve.edge("cap").path, sleeve.edge("hem").path

    assert abs(hem.end.x - hem.start.x) == pytest.approx(1.5 * abs(cap.end.x - cap.start.x))
    armhole = next(seam for seam in draft.seams if seam.name == "armhole")
    assert armhole.method is Method.PLAIN
    assert draft.side_length(armhole.a) == pytest.approx(draft.side_length(armhole.b))


def test_a_robe_of_a_size_table_can_stand_in() -> None:
    assert make_draft("choir-robe", size_of("child-116").body()).passed


def test_a_bell_has_no_cuff() -> None:
    with pytest.raises(BadChoice) as refusal:
        make_draft("choir-robe", WOMAN, {"sleeve_end": "cuff"})

    assert refusal.value.field == "sleeve_end"
