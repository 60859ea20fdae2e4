from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

import pytest

from costing.rules.notions import fitting_notion, notion_words


@dataclass(frozen=True)
class Row:
    kind: str
    size_mm: float | None
    price_each: Decimal


SHORT = Row("zip", 400.0, Decimal("1.80"))
LONG = Row("zip", 600.0, Decimal("2.40"))
LONG_DEAR = Row("zip", 600.0, Decimal("3.10"))
ENDLESS = Row("zip", None, Decimal("0.90"))
BUTTON = Row("button", 18.0, Decimal("0.90"))
LISTED = [LONG_DEAR, BUTTON, LONG, SHORT]


@pytest.mark.parametrize(
    ("listed", "kind", "size", "found"),
    [
        (LISTED, "zip", 390.0, SHORT),
        (LISTED, "zip", 401.0, SHORT),
        (LISTED, "zip", 401.5, LONG),
        (LISTED, "zip", 602.0, None),
        ([*LISTED, ENDLESS], "zip", 602.0, ENDLESS),
        (LISTED, "zip", None, SHORT),
        (LISTED, "hook", None, None),
        ([], "zip", 100.0, None),
    ],
)
def test_fitting_notion_is_the_smallest_that_is_large_enough(listed, kind, size, found):
    assert fitting_notion(listed, kind, size) is found


def test_notion_words():
    assert (notion_words("zip", 482.0), notion_words("hook", None)) == ("zip of 48.2 cm", "hook")
