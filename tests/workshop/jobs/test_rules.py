from __future__ import annotations

from datetime import timedelta

import pytest

from workshop.jobs import rules


@pytest.mark.parametrize(("attempts", "seconds"), [(1, 5), (2, 30), (3, 120), (4, 600), (5, 600), (99, 600)])
def test_retry_delay_grows_to_ten_minutes(attempts, seconds):
    assert rules.retry_delay(attempts) == timedelta(seconds=seconds)


def test_retry_delay_refuses_a_job_that_was_not_tried():
    with pytest.raises(ValueError, match="no attempt has been made yet: 0"):
        rules.retry_delay(0)


@pytest.mark.parametrize(
    ("given", "shown"), [(0, 0), (41.9, 41), (99.9, 99), (100, 99), (1e9, 99), (-3, 0), (float("nan"), 0)]
)
def test_percent_stays_within_what_a_running_job_may_show(given, shown):
    assert rules.percent(given) == shown


def test_shortened_keeps_one_line_within_the_record():
    assert rules.shortened("There is\n no cloth.") == "There is no cloth."
    assert rules.shortened("x" * 300) == "x" * 300
    assert rules.shortened("x" * 301) == "x" * 299 + "…"


def test_is_last_at_the_fifth_attempt():
    assert [rules.is_last(attempts) for attempts in (4, 5, 6)] == [False, True, True]
