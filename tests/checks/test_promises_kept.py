"""Eight months of a workshop whose work takes as long as it really takes: are its promises kept as foretold?

The noise is the one that promises reckon with; longer runs, other noise and other loads are in
``tests/benchmarks/bench_planning.py``. Bounds as set for the project: nine in ten is from 85 to 97 %.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.workshop.planning.month import Garment, foretold_by_day, kept_by_day, kept_by_minute, promises

MONTHS = range(1, 9)


@cache
def month(seed: int) -> list[Garment]:
    """Return 40 orders, one about every 250 open minutes: 80 % of what three people can do."""
    return promises(seed, orders=40, every=250)


@pytest.mark.parametrize("seed", MONTHS)
def test_a_months_days_are_kept_about_as_often_as_was_foretold(seed):
    # A day is coarser than the minute from which it is taken, so that more than nine in ten are foretold.
    # The standard error of a share of 0.98 among 40 is 0.022.
    assert abs(kept_by_day(month(seed)) - foretold_by_day(month(seed))) <= 0.07


def test_nine_in_ten_is_kept_nine_times_out_of_ten():
    garments = [garment for seed in MONTHS for garment in month(seed)]

    assert 0.85 <= kept_by_minute(garments) <= 0.97
    assert kept_by_day(garments) == pytest.approx(foretold_by_day(garments), abs=0.02)
