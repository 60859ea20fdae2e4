from __future__ import annotations

import pytest

from drafting.errors import BadCloth
from drafting.layplan import Cloth, buy_length, read_cloth


def test_usable_width_leaves_out_both_selvedges() -> None:
    assert Cloth("shell", 1140).usable_width == 1120


def test_usable_width_of_folded_cloth_leaves_out_one() -> None:
    assert Cloth("shell", 1140, folded=True).usable_width == 560


def test_usable_width_is_that_of_the_shrunk_cloth() -> None:
    assert Cloth("shell", 1000, shrinkage_width=0.05).usable_width == 930


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"width": 0}, "width"),
        ({"width": -1}, "width"),
        ({"width": float("nan")}, "width"),
        ({"width": float("inf")}, "width"),
        ({"width": 10**400}, "width"),
        ({"width": "1140"}, "width"),
        ({"width": 60_000}, "width"),
        ({"selvedge": 570}, "selvedge"),
        ({"shrinkage_length": 3}, "shrinkage_length"),
        ({"gap": -0.1}, "gap"),
        ({"one_way": "yes"}, "one_way"),
        ({"cloth": ""}, "cloth"),
    ],
)
def test_read_cloth_refuses_and_names_the_field(changes: dict[str, object], field: str) -> None:
    with pytest.raises(BadCloth, match=field) as refused:
        read_cloth({"cloth": "shell", "width": 1140, **changes})

    assert refused.value.field == field


def test_read_cloth_reads_what_to_contract_writes() -> None:
    cloth = Cloth("lining", 1400, selvedge=12, one_way=True, shrinkage_length=0.03, repeat_length=80)

    assert read_cloth(cloth.to_contract()) == cloth


@pytest.mark.parametrize(
    ("length", "cloth", "increment", "bought"),
    [
        # 2310 + 30 for the ends = 2340, up to 2400.
        (2310.0, Cloth("shell", 1140), 100.0, 2400.0),
        # 970 + 30 = 1000 exactly: not one increment more.
        (970.0, Cloth("shell", 1140), 100.0, 1000.0),
        # (970 + 30) / 0.95 = 1052.6.
        (970.0, Cloth("shell", 1140, shrinkage_length=0.05), 100.0, 1100.0),
        # 970 + 30 + one repeat of 120 = 1120, in eighths of a yard of 114.3 mm: 10.
        (970.0, Cloth("shell", 1140, repeat_length=120), 114.3, 1143.0),
        (0.0, Cloth("shell", 1140), 100.0, 0.0),
    ],
)
def test_buy_length_rounds_up_to_how_the_seller_cuts(
    length: float, cloth: Cloth, increment: float, bought: float
) -> None:
    assert buy_length(length, cloth, increment) == pytest.approx(bought, abs=1e-9)


@pytest.mark.parametrize("increment", [0.0, -1.0, float("nan")])
def test_buy_length_refuses_an_increment_that_is_none(increment: float) -> None:
    with pytest.raises(BadCloth, match="increment_mm"):
        buy_length(100.0, Cloth("shell", 1140), increment)
