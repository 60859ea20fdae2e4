from __future__ import annotations

import logging
import threading
from datetime import timedelta

import pytest
from django.utils import timezone

from workshop import jobs
from workshop.jobs import execution, queries, registry
from workshop.jobs.models import Job
from workshop.jobs.services import claims
from workshop.people.models import Workshop


@pytest.fixture
def ask(workshop, note):
    def ask(kind, key="a", **params):
        return jobs.request(kind=kind, key=key, workshop=workshop, params={"note": str(note), **params})

    return ask


def _read(job):
    job.refresh_from_db()
    return job


def test_run_due_runs_everything_once(ask, run_jobs, note):
    first, second = ask("trial note", "a"), ask("trial note", "b")

    assert run_jobs() == 2
    assert run_jobs() == 0
    assert [line.split()[:2] for line in note.read_text().splitlines()] == [["a", "1"], ["b", "1"]]
    assert (_read(first).state, first.progress, first.result) == ("done", 100, {"attempt": 1})
    assert _read(second).state == "done"


def test_run_job_is_safe_to_call_twice(ask, note):
    job = ask("trial note")

    assert [execution.run_job(job.pk), execution.run_job(job.pk)] == [True, False]
    assert len(note.read_text().splitlines()) == 1


def test_run_job_of_a_number_that_does_not_exist_does_nothing(db):
    assert execution.run_job(404) is False


def test_refusal_is_final_with_its_message(ask, run_jobs):
    job = ask("trial refusal")

    assert run_jobs() == 1
    assert (_read(job).state, job.attempts) == ("failed", 1)
    assert job.message == "There is no cloth for this; buy 2.40 m of satin."


def test_failure_is_tried_again_later_and_people_see_no_detail(ask, run_jobs, caplog):
    job = ask("trial failure", succeeds_in=2)
    before = timezone.now()

    assert run_jobs() == 1

    assert (_read(job).state, job.attempts) == ("waiting", 1)
    assert timedelta(seconds=5) <= job.due_at - before < timedelta(seconds=10)
    assert job.message == "Attempt 1 of 5 did not succeed; it is tried again by itself."
    assert "ZeroDivisionError: secret detail" in caplog.text

    Job.objects.update(due_at=before)
    assert run_jobs() == 1
    assert (_read(job).state, job.result, job.message) == ("done", {"attempt": 2}, "")


def test_failure_is_final_after_five_attempts(ask, run_jobs, caplog):
    job = ask("trial failure")
    for _ in range(5):
        Job.objects.update(due_at=job.created_at)
        run_jobs()

    assert (_read(job).state, job.attempts) == ("failed", 5)
    assert job.message == (
        f"This did not succeed in 5 attempts. Ask for it again; if it fails again, tell whoever looks after "
        f"this installation that it was job {job.pk}."
    )
    assert run_jobs() == 0


@pytest.mark.parametrize("kind", ["nobody does this", "trial unstorable result"])
def test_unknown_kind_and_unstorable_result_are_tried_again(ask, run_jobs, caplog, kind):
    job = ask(kind)

    run_jobs()

    assert (_read(job).state, job.attempts, job.result) == ("waiting", 1, None)


def test_cancelled_job_stops_at_its_next_progress(ask, note):
    job = ask("trial steps", steps=100, pause=0)
    claimed = claims.claim_job(job.pk, now=timezone.now())
    jobs.cancel(job=job)

    execution.run_claimed(claimed)

    assert (_read(job).state, job.result) == ("cancelled", None)
    assert not note.exists()


@pytest.mark.parametrize("kind", ["trial steps", "trial quitting early"])
def test_stopping_process_puts_its_job_back(ask, note, kind):
    job = ask(kind, steps=3, pause=0)
    stopping = threading.Event()
    stopping.set()

    execution.run_claimed(claims.claim_job(job.pk, now=timezone.now()), stopping)

    assert (_read(job).state, job.attempts, job.leased_by) == ("waiting", 0, "")
    assert not note.exists()


def test_job_asked_for_again_meanwhile_runs_once_more_with_the_newest_params(ask, workshop, run_jobs, note):
    job = ask("trial note", turn=1)
    claimed = claims.claim_job(job.pk, now=timezone.now())
    jobs.request(
        kind="trial note", key="a", workshop=workshop, params={"note": str(note), "turn": 2}, again=True
    )

    execution.run_claimed(claimed)

    assert (_read(job).state, job.attempts, job.rerun_asked, job.params["turn"]) == ("waiting", 0, False, 2)
    assert run_jobs() == 1
    assert _read(job).state == "done"
    assert len(note.read_text().splitlines()) == 2


def test_lost_claim_is_noted_in_the_log_and_changes_nothing(ask, caplog):
    job = ask("trial note")
    claimed = claims.claim_job(job.pk, now=timezone.now())
    Job.objects.update(leased_by="somebody else")

    with caplog.at_level(logging.WARNING):
        execution.run_claimed(claimed)

    assert (_read(job).state, job.leased_by) == ("running", "somebody else")
    assert f"job {job.pk} (trial note a) lost its claim" in caplog.text


def test_progress_shows_a_running_job(ask, workshop):
    job = ask("trial steps", steps=4, pause=0)
    claimed = claims.claim_job(job.pk, now=timezone.now())

    registry.JobContext(claimed).progress(47.8, "Laying out sheets")

    shown = queries.progress(workshop, job.pk)
    assert (shown.percent, shown.words, shown.state, shown.is_open) == (
        47,
        "Laying out sheets",
        "running",
        True,
    )


def test_progress_shows_the_result_of_a_finished_job(ask, workshop, run_jobs):
    job = ask("trial note")
    run_jobs()

    shown = queries.progress(workshop, job.pk)

    assert (shown.percent, shown.words, shown.is_open, shown.result) == (100, "Done", False, {"attempt": 1})


def test_progress_of_another_workshops_job_does_not_exist(ask, workshop):
    job = ask("trial note")
    other = Workshop.objects.create(name="Other", created_at=timezone.now())

    with pytest.raises(Job.DoesNotExist):
        queries.progress(other, job.pk)


def test_handler_refuses_a_kind_that_another_function_does():
    with pytest.raises(
        ValueError, match=r"trial note is done by tests\.rig\.trial\.tasks\.write_note already"
    ):
        registry.handler("trial note")(lambda job: None)
