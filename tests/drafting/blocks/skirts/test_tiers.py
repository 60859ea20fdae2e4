from __future__ import annotations

import pytest

from drafting.blocks.skirts.tiers import Tier, tiers
from drafting.errors import CannotDraft


def test_tiers_are_gathered_into_one_another() -> None:
    assert tiers(700.0, 600.0, [2.0, 1.5]) == (Tier(700, 1400, 300), Tier(1400, 2100, 300))


@pytest.mark.parametrize(("width", "strips"), [(1400.0, 1), (1400.1, 2), (4200.0, 3)])
def test_tier_is_cut_in_as_few_strips_as_the_cloth_allows(width: float, strips: int) -> None:
    assert Tier(700.0, width, 300.0).strips(1400.0) == strips


@pytest.mark.parametrize(
    ("waist", "length", "fullness"), [(0, 600, [2]), (700, 0, [2]), (700, 600, []), (700, 600, [0.9])]
)
def test_tiers_refuse_what_cannot_be_gathered(waist: float, length: float, fullness: list[float]) -> None:
    with pytest.raises(CannotDraft):
        tiers(waist, length, fullness)
