"""Eight months of a workshop whose work takes as long as it really takes: are its promises kept as foretold?

A promise is a day: the first by whose end the garment is ready in nine of ten simulated runs. As days are
whole, that day's share lies somewhat above nine in ten; what is asked of the months is that the days are kept
as often as that, and between 85 and 97 %, the bounds set for the project. Longer runs, other noise and other
loads are in ``tests/benchmarks/bench_planning.py``.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.workshop.planning.month import Garment, foretold_by_day, kept_by_day, promises

MONTHS = range(1, 9)


@cache
def month(seed: int, *, gamma: bool = False) -> list[Garment]:
    """Return 40 orders, one about every 250 open minutes: 80 % of what three people can do."""
    return promises(seed, orders=40, every=250, gamma=gamma)


@pytest.mark.parametrize("gamma", [False, True])
def test_days_promised_nine_times_out_of_ten_are_kept_so(gamma):
    """The noise is of the shape that promises reckon with, then of another of the same mean and variance."""
    garments = [garment for seed in MONTHS for garment in month(seed, gamma=gamma)]

    assert 0.90 <= foretold_by_day(garments) <= 0.97
    assert 0.85 <= kept_by_day(garments) <= 0.97
    # The plan is made anew with each order, which a promise does not foresee: it errs to the safe side.
    assert kept_by_day(garments) == pytest.approx(foretold_by_day(garments), abs=0.03)


@pytest.mark.parametrize("seed", MONTHS)
def test_a_months_days_are_kept_about_as_often_as_was_foretold(seed):
    # The standard error of a share of 0.94 among 40 is 0.038; paces make a month's garments alike.
    assert abs(kept_by_day(month(seed)) - foretold_by_day(month(seed))) <= 0.12


def test_promises_that_reckon_with_too_little_noise_are_kept_too_seldom():
    """What is checked can fail: where the real noise is twice what promises know of, too few are kept."""
    garments = [garment for seed in MONTHS for garment in promises(seed, orders=40, every=250, spread=2.0)]

    assert kept_by_day(garments) < 0.85
