"""Daily work: asked for once on the workshop's own day, where it is wanted."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.workshop.jobs.conftest import NOW
from workshop.jobs.models import Job
from workshop.jobs.services import routine
from workshop.jobs.tasks import sweep
from workshop.people.models import Wearer

DAY = timedelta(days=1)


@pytest.fixture
def wanted(workshop, monkeypatch):
    """One kind of daily work, wanted by the workshop alone."""
    monkeypatch.setattr(routine, "_DAILY", {})
    routine.daily("trial note", lambda now: [workshop])


def keys() -> list[str]:
    return list(Job.objects.order_by("pk").values_list("key", flat=True))


def test_request_daily_asks_once_a_day(wanted):
    asked = [routine.request_daily(now=NOW + step) for step in (DAY * 0, DAY / 24, DAY, DAY * 1.1)]

    assert asked == [1, 0, 1, 0]
    assert keys() == ["2026-03-02", "2026-03-03"]


def test_request_daily_asks_once_though_the_job_is_done(wanted):
    routine.request_daily(now=NOW)
    Job.objects.update(state="done")

    assert routine.request_daily(now=NOW) == 0


def test_request_daily_goes_by_the_workshops_own_day(workshop, wanted):
    workshop.time_zone = "Pacific/Auckland"
    late = NOW.replace(hour=23)

    routine.request_daily(now=late)

    assert keys() == ["2026-03-03"]


@pytest.fixture
def child(workshop):
    client = workshop.clients.create(name="Marta", created_at=NOW)
    return Wearer.objects.create(
        workshop=workshop, client=client, name="Wilhelmina", keep_until_on=NOW.date() - DAY
    )


def test_wearers_are_not_erased_unless_the_owner_turned_it_on(workshop, child, run_jobs):
    sweep()
    run_jobs()

    child.refresh_from_db()
    assert (child.name, Job.objects.count()) == ("Wilhelmina", 0)


def test_wearers_are_erased_by_themselves_once_it_is_turned_on(workshop, child, run_jobs):
    workshop.erase_when_due = True
    workshop.save()
    kept = Wearer.objects.create(
        workshop=workshop, client=child.client, name="Ada", keep_until_on="2999-01-01"
    )

    sweep()
    sweep()
    run_jobs()

    child.refresh_from_db()
    kept.refresh_from_db()
    assert (child.name, child.erased_at is not None, kept.name) == ("erased", True, "Ada")
    assert [(job.kind, job.state, job.result) for job in Job.objects.all()] == [
        ("erase_expired", "done", {"erased": 1, "kept": 0})
    ]


def test_old_marks_are_forgotten(workshop, run_jobs):
    workshop.submissions.create(mark="0" * 32, led_to="/", sent_at=NOW - DAY * 400)

    sweep()
    run_jobs()

    assert workshop.submissions.count() == 0
