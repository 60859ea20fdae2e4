"""What tasks of one garment, and all that one person does, have in common."""

from __future__ import annotations

import math
import random

import pytest

from workshop.planning.rules.common_noise import (
    USUAL_GARMENT,
    Residual,
    garment_spread,
    own_noise,
    pace_spread,
)


def timed(garments, *, shared, own, seed=1, tasks=5):
    chance = random.Random(seed)
    for garment in range(garments):
        harder = chance.gauss(0, shared)
        yield from (Residual(garment, harder + chance.gauss(0, own)) for _ in range(tasks))


def test_nothing_timed_leaves_the_usual():
    assert garment_spread([]) == pytest.approx(USUAL_GARMENT)
    assert garment_spread([Residual(1, 0.5)]) == pytest.approx(USUAL_GARMENT)  # no pair to compare


@pytest.mark.parametrize("shared", [0.0, 0.1, 0.25])
def test_many_garments_tell_what_they_share(shared):
    found = garment_spread(timed(800, shared=shared, own=0.25))

    # With none, the sampling error of the variance and the pull to the usual leave a little.
    assert found == pytest.approx(shared, abs=0.05)


def test_two_tasks_of_a_garment_count_as_one_pair_worked_by_hand():
    # (60 x 0.0144 + 0.3 x 0.2) / 61 = 0.924 / 61
    assert garment_spread([Residual(1, 0.3), Residual(1, 0.2)]) == pytest.approx(math.sqrt(0.924 / 61))


def test_what_is_shared_is_not_drawn_twice():
    noise = own_noise(0.25, 0.15)

    assert noise.spread == pytest.approx(0.2)
    assert noise.median == pytest.approx(math.exp(-0.02))
    assert own_noise(0.2, 0.5).spread == pytest.approx(0.1)


def test_the_pace_over_a_mix_of_work_is_surer_than_over_one_kind():
    assert pace_spread({"sew": 60.0}, {"sew": 0.09}) == pytest.approx(0.3)
    assert pace_spread({"sew": 50.0, "cut": 50.0}, {"sew": 0.09, "cut": 0.09}) == pytest.approx(
        0.3 / math.sqrt(2)
    )
    assert pace_spread({}, {}) == 0.0
