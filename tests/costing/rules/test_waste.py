"""Real waste by cloth, worked by hand; drawn towards the plan where little is known."""

from __future__ import annotations

from math import exp, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.rules.waste import CLOTH_SPREAD, HOUSE_SPREAD, SCATTER, CutOnce, learn_waste

SATIN, LINEN, WOOL = 1, 2, 3


def cuts(cloth: int, ratio: float, count: int) -> list[CutOnce]:
    return [CutOnce(cloth, 2000.0, 2000.0 * ratio)] * count


def test_nothing_noted_leaves_the_plan():
    waste = learn_waste([])

    assert (waste.of(SATIN).factor, waste.of(SATIN).count, waste.of(SATIN).words) == (1.0, 0, "")
    assert waste.of(SATIN).more_mm(2000.0) == 0.0


def test_one_garment_moves_a_cloth_as_far_as_its_precision_allows():
    """All spreads are 0.05 = v: mu = x / 3 (v against v + v), theta = (mu + x) / 2 = 2 x / 3."""
    assert HOUSE_SPREAD == CLOTH_SPREAD == SCATTER

    waste = learn_waste(cuts(SATIN, 1.10, 1))

    assert waste.of(SATIN).factor == pytest.approx(exp(2 / 3 * log(1.10)), rel=1e-12)
    assert waste.of(LINEN).factor == pytest.approx(exp(1 / 3 * log(1.10)), rel=1e-12)


def test_many_garments_follow_the_cloth_and_few_stay_near_the_plan():
    factors = [learn_waste(cuts(SATIN, 1.10, count)).of(SATIN).factor for count in (1, 3, 10, 100)]

    assert factors == sorted(factors)
    assert 1.05 < factors[0] < 1.07
    assert factors[-1] == pytest.approx(1.10, abs=0.001)


def test_a_cloth_that_takes_more_leaves_others_near_what_they_take():
    waste = learn_waste([*cuts(SATIN, 1.12, 40), *cuts(LINEN, 1.0, 40)])

    assert waste.of(SATIN).factor == pytest.approx(1.12, abs=0.005)
    assert waste.of(LINEN).factor == pytest.approx(1.0, abs=0.005)
    assert 1.0 < waste.of(WOOL).factor < 1.12


def test_scatter_makes_a_cloth_believe_its_mean_less():
    even = learn_waste(cuts(SATIN, 1.08, 4)).of(SATIN).factor
    uneven = learn_waste([*cuts(SATIN, 1.08 * 1.3, 2), *cuts(SATIN, 1.08 / 1.3, 2)]).of(SATIN).factor

    assert 1.0 < uneven < even


def test_a_slip_of_the_pen_is_left_out():
    slips = [CutOnce(SATIN, 2000.0, 20_000.0), CutOnce(SATIN, 2000.0, 200.0), CutOnce(SATIN, 0.0, 5.0)]

    assert learn_waste(slips) == learn_waste([])


def test_less_than_the_plan_is_known_but_never_bought():
    satin = learn_waste(cuts(SATIN, 0.9, 20)).of(SATIN)

    assert satin.factor < 0.95
    assert (satin.more_mm(2000.0), satin.words) == (0.0, "")


def test_words_say_how_much_and_from_how_many():
    one, many = learn_waste(cuts(SATIN, 1.10, 1)), learn_waste(cuts(SATIN, 1.10, 100))

    assert one.of(SATIN).words == "+6.6 % that was really cut in 1 garment"
    assert many.of(SATIN).words == "+10.0 % that was really cut in 100 garments"
    assert one.of(WOOL).words == "+3.2 % that was really cut of other cloths"


@given(st.lists(st.floats(0.6, 1.9), min_size=1, max_size=12))
def test_a_cloth_lies_between_the_plan_and_the_farthest_that_was_noted(ratios):
    factor = learn_waste(CutOnce(SATIN, 1000.0, 1000.0 * ratio) for ratio in ratios).of(SATIN).factor

    assert min(1.0, *ratios) - 1e-9 <= factor <= max(1.0, *ratios) + 1e-9
