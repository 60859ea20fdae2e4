from __future__ import annotations

import threading

import pytest
from django.db import connection, transaction

from tests.workshop.jobs.conftest import NOW
from workshop import jobs
from workshop.jobs import wakeup
from workshop.jobs.models import Job
from workshop.jobs.services import claims
from workshop.jobs.services.requests import AlreadyFinished
from workshop.people.models import Workshop


def _ask(workshop, key="a", **more):
    return jobs.request(kind="trial note", key=key, workshop=workshop, now=NOW, **more)


def test_request_stores_what_was_asked(workshop):
    job = _ask(workshop, params={"draft": 7})

    assert Job.objects.values().get() == {
        "id": job.pk,
        "workshop_id": workshop.pk,
        "kind": "trial note",
        "key": "a",
        "params": {"draft": 7},
        "prompt": False,
        "state": "waiting",
        "due_at": NOW,
        "attempts": 0,
        "leased_until_at": None,
        "leased_by": "",
        "cancel_asked": False,
        "rerun_asked": False,
        "progress": 0,
        "message": "",
        "result": None,
        "created_at": NOW,
        "finished_at": None,
    }


def test_request_returns_the_open_job_with_the_same_key(workshop):
    waiting = _ask(workshop)

    assert _ask(workshop) == waiting
    claims.claim_next(now=NOW)
    assert _ask(workshop) == waiting
    assert Job.objects.get().rerun_asked is False


def test_request_makes_a_new_job_once_the_first_is_closed(workshop):
    first = _ask(workshop)
    jobs.cancel(job=first)

    assert _ask(workshop) != first


def test_request_keeps_workshops_apart(workshop):
    other = Workshop.objects.create(name="Other", created_at=NOW)

    assert _ask(workshop).workshop == workshop
    assert _ask(other).workshop == other
    assert Job.objects.count() == 2


def test_request_again_gives_a_waiting_job_the_newest_params(workshop):
    _ask(workshop, params={"rows": 1})

    job = _ask(workshop, params={"rows": 2}, again=True)

    assert (job.params, job.rerun_asked) == ({"rows": 2}, False)


def test_request_again_marks_a_running_job(workshop):
    _ask(workshop)
    claims.claim_next(now=NOW)

    assert _ask(workshop, again=True).rerun_asked is True


def test_request_is_undone_with_the_callers_transaction(workshop):
    class Undone(Exception):
        pass

    def order_and_fail():
        with transaction.atomic():
            _ask(workshop)
            raise Undone

    with pytest.raises(Undone):
        order_and_fail()

    assert Job.objects.count() == 0


def test_request_wakes_the_runner_only_after_the_commit(workshop, django_capture_on_commit_callbacks):
    wakeup.due.clear()

    with django_capture_on_commit_callbacks() as callbacks:
        _ask(workshop)

    assert not wakeup.due.is_set()
    assert len(callbacks) == 1
    callbacks[0]()
    assert wakeup.due.is_set()


@pytest.mark.django_db(transaction=True)
def test_request_at_the_same_time_makes_one_job(workshop):
    gate = threading.Barrier(4)
    found: list[int] = []

    def ask() -> None:
        gate.wait()
        found.append(_ask(workshop).pk)
        connection.close()

    threads = [threading.Thread(target=ask) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert found == [Job.objects.get().pk] * 4


def test_cancel_ends_a_waiting_job_at_once(workshop, run_jobs):
    job = jobs.cancel(job=_ask(workshop), now=NOW)

    assert (job.state, job.finished_at) == ("cancelled", NOW)
    assert run_jobs() == 0


def test_cancel_only_tells_a_running_job(workshop):
    job = _ask(workshop)
    claims.claim_next(now=NOW)
    _ask(workshop, again=True)

    job = jobs.cancel(job=job)

    assert (job.state, job.cancel_asked, job.rerun_asked) == ("running", True, False)


def test_cancel_refuses_a_closed_job(workshop):
    job = jobs.cancel(job=_ask(workshop))

    with pytest.raises(AlreadyFinished, match=r"This is already cancelled; there is nothing to cancel."):
        jobs.cancel(job=job)
