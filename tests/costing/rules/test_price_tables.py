from __future__ import annotations

from decimal import Decimal

import pytest

from costing.errors import BadAmount
from costing.rules.price_tables import CLOTH_COLUMNS, NOTION_COLUMNS, values_of


def test_values_of_reads_numbers_with_point_or_comma():
    cells = {
        "name": "Satin",
        "width_mm": "1503,3",
        "price_per_metre": "24.005",
        "shrinkage_width_percent": "3",
    }

    assert values_of(cells, CLOTH_COLUMNS) == {
        "name": "Satin",
        "width_mm": 1503.3,
        "price_per_metre": Decimal("24.005"),
        "shrinkage_width": 0.03,
    }


def test_values_of_takes_empty_cells_for_nothing():
    cells = {"name": "Hook", "kind": "hook", "size_mm": "", "supplier": "", "price_each": "0,30"}

    assert values_of(cells, NOTION_COLUMNS) == {
        "name": "Hook",
        "kind": "hook",
        "size_mm": None,
        "supplier": "",
        "price_each": Decimal("0.30"),
    }


def test_values_of_reads_days_and_takes_an_empty_cell_for_the_usual_ones():
    cells = {"name": "Satin", "days_to_come": "0"}

    assert values_of(cells, CLOTH_COLUMNS)["days_to_come"] == 0
    assert values_of({**cells, "days_to_come": ""}, NOTION_COLUMNS)["days_to_come"] is None


@pytest.mark.parametrize(
    ("column", "cell", "words"),
    [
        ("width_mm", "", "Fill this in"),
        ("width_mm", "wide", "'wide' is no number"),
        ("width_mm", "nan", "'nan' is no number"),
        ("width_mm", "Infinity", "is no number"),
        ("width_mm", "1e999", "is no number"),
        ("width_mm", "1,503.3", "is no number"),
        ("width_mm", "9" * 40, "is no number"),
        ("price_per_metre", "1.2345", "three decimals at most"),
        ("days_to_come", "2.5", "Days are whole"),
        ("days_to_come", "soon", "'soon' is no number"),
        ("one_way", "perhaps", "neither yes nor no"),
    ],
)
def test_values_of_refuses_at_the_column(column, cell, words):
    with pytest.raises(BadAmount, match=words) as refused:
        values_of({"name": "x", column: cell}, CLOTH_COLUMNS)

    assert refused.value.field == column
