"""Corrections of standard minutes from timed work. Repeats: tests/checks/test_thread_and_time.py."""

from __future__ import annotations

from math import exp, log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.rules.learning import (
    GROUP_SPREAD,
    SCATTER,
    SCATTER_WEIGHT,
    WORKER_SPREAD,
    Correction,
    TimedTask,
    forecast,
    learn,
)
from tests.costing.simulated_logs import GARMENTS, average_errors

G2, W2 = GROUP_SPREAD**2, WORKER_SPREAD**2


def timed(*ratios: float, group: str = "sew", worker: int = 1) -> list[TimedTask]:
    return [TimedTask(group, worker, 60.0, 60.0 * ratio) for ratio in ratios]


def test_with_nothing_timed_the_standard_is_what_is_expected():
    learnt = learn([])

    made = forecast(learnt, [("sew", 1, 240.0), ("press", None, 30.0)], fixed=45.0)

    assert learnt.correction("sew", 1) == Correction(0.0, G2 + W2, 0)
    assert (made.standard, made.expected) == (315.0, 315.0)
    assert made.cautious > 315.0


def test_one_timed_task_worked_by_hand():
    # One task at twice its standard; sigma stays at 0.25, for one task shows no scatter.
    found = learn(timed(2.0)).correction("sew", 1)

    ratio = log(2) + SCATTER**2 / 2  # 0.7244
    middle = ratio * G2 / (G2 + W2 + SCATTER**2)  # 0.3386: the standard weighs 11.1, the task 9.76
    drawn = SCATTER**2 / (W2 + SCATTER**2)  # 0.6098
    assert found.mean == pytest.approx(drawn * middle + (1 - drawn) * ratio)
    assert found.mean == pytest.approx(0.4892, abs=5e-4)
    assert found.factor == pytest.approx(1.631, abs=1e-3)
    assert found.count == 1


def test_corrections_are_those_of_the_whole_linear_model():
    """Against the normal equations of all thetas at once, solved without any of the shortcuts taken there."""
    rows = {1: [1.3, 0.9, 1.6], 2: [0.8], 3: [1.1, 1.2]}
    learnt = learn([task for worker, ratios in rows.items() for task in timed(*ratios, worker=worker)])
    scatter2 = learnt.scatter**2
    who = [worker for worker, ratios in rows.items() for _ in ratios]
    seen = np.array([log(ratio) + scatter2 / 2 for ratios in rows.values() for ratio in ratios])

    shared = np.array([[G2 + W2 * (one == other) for other in who] for one in who])
    inverse = np.linalg.inv(shared + scatter2 * np.eye(len(who)))
    for worker in (*rows, None):
        toward = np.array([G2 + W2 * (worker == other) for other in who])
        found = learnt.correction("sew", worker)
        assert found.mean == pytest.approx(toward @ inverse @ seen)
        assert found.variance == pytest.approx(G2 + W2 - toward @ inverse @ toward)


def test_scatter_is_pooled_with_what_was_assumed():
    # Two tasks of a worker a factor of e apart: their squares about the mean are 2 x 0.5^2, and one is free.
    found = learn(timed(1.0, exp(1.0))).scatter

    assert found**2 == pytest.approx((SCATTER_WEIGHT * SCATTER**2 + 0.5) / (SCATTER_WEIGHT + 1))


def test_a_worker_who_was_not_timed_takes_the_kind_of_work_and_less_is_known_of_her():
    learnt = learn(timed(1.5, 1.5, 1.5, 1.5))

    known, other = learnt.correction("sew", 1), learnt.correction("sew", 2)

    assert 1 < other.factor < known.factor < 1.6
    assert other.variance > known.variance
    assert learnt.correction("press", 1).factor == 1


@pytest.mark.parametrize("ratio", [0.0, 0.05, 9.0, 600.0])
def test_a_slip_of_the_timer_says_nothing(ratio):
    assert learn([*timed(1.2, 1.3), *timed(ratio)]) == learn(timed(1.2, 1.3))


def test_a_task_without_a_standard_says_nothing():
    assert learn([TimedTask("alter", 1, 0.0, 30.0)]) == learn([])


@given(ratios=st.lists(st.floats(0.2, 6.0), min_size=1, max_size=30))
def test_a_correction_lies_between_the_standard_and_what_was_timed(ratios):
    learnt = learn(timed(*ratios))
    found = learnt.correction("sew", 1)

    mean = sum(log(ratio) for ratio in ratios) / len(ratios) + learnt.scatter**2 / 2
    low, high = found.interval
    assert min(0.0, mean) - 1e-9 <= found.mean <= max(0.0, mean) + 1e-9
    assert low < found.factor < high
    assert 0 < found.variance < G2 + W2


def test_cautious_minutes_come_nearer_the_expected_ones_with_what_is_known():
    work = [("sew", 1, 240.0)]

    little, much = (forecast(learn(timed(*[1.0] * count)), work) for count in (1, 50))

    assert 1 < much.cautious / much.expected < little.cautious / little.expected


def test_learning_on_simulated_logs_of_known_truth():
    """Sixty workshops whose true pace is drawn, not known to the rule; see ``simulated_logs``."""
    found = {count: average_errors(count) for count in GARMENTS}

    corrected = [found[count][0] for count in GARMENTS]
    uncorrected = [found[count][1] for count in GARMENTS]
    assert corrected == sorted(corrected, reverse=True)
    # Mean error of the expected minutes: 14 % without correction; 7.5, 3.9 and 1.8 % with it.
    assert all(0.12 < error < 0.16 for error in uncorrected)
    assert corrected[0] < 0.6 * uncorrected[0]
    assert corrected[1] < 0.3 * uncorrected[1]
    assert corrected[2] < 0.15 * uncorrected[2]
    # Four garments of five stay within the cautious minutes, by 2400 garments at each count.
    assert all(abs(found[count][2] - 0.8) < 0.03 for count in GARMENTS)
