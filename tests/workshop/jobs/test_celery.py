"""Real Celery workers on a real Redis and the test's own PostgreSQL: nothing is lost, whatever is killed."""

from __future__ import annotations

import re

import pytest

from tests.rig.processes import wait_until
from workshop import jobs
from workshop.jobs import wakeup

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def celery_settings(settings, redis_url, monkeypatch):
    """Send this process's wake-ups to Redis, as the web processes of a production installation do."""
    from workshop.celery import app

    settings.JOBS_RUNNER = "celery"
    monkeypatch.setattr(wakeup, "_broker", wakeup._Broker())
    kept, app.conf.broker_url = app.conf.broker_url, redis_url
    yield app
    app.close()
    app.conf.broker_url = kept


@pytest.fixture
def ask(workshop, note, celery_settings):
    def ask(kind, key="a", **params):
        return jobs.request(kind=kind, key=key, workshop=workshop, params={"note": str(note), **params})

    return ask


def _wait_for(job, state, within_s=60.0):
    def reached():
        job.refresh_from_db()
        return job.state == state

    wait_until(reached, within_s=within_s, what=f"the job is {state}; it is {job.state}: {job.message}")


def test_worker_runs_a_job_when_its_message_arrives(ask, celery_worker, note):
    worker = celery_worker()

    job = ask("trial note")

    _wait_for(job, "done")
    assert (job.result, job.attempts, job.progress) == ({"attempt": 1}, 1, 100)
    assert note.read_text().split()[:2] == ["a", "1"]
    # The worker writes its own line after the job's record says done: it was the worker that ran it.
    done = re.compile(r"Task workshop\.jobs\.tasks\.run_job\[[0-9a-f-]+\] succeeded")
    wait_until(lambda: done.search(worker.output), what="the worker says that the task succeeded")


def test_killed_worker_s_job_is_picked_up_by_the_sweeper(ask, celery_worker, note, tmp_path):
    first = celery_worker()
    go_on = tmp_path / "go on"
    job = ask("trial waiting for a file", file=str(go_on))
    _wait_for(job, "running")

    first.kill()
    celery_worker(beat=True)
    go_on.touch()

    _wait_for(job, "done")
    assert job.attempts == 2
    assert [line.split()[:2] for line in note.read_text().splitlines()] == [["a", "2"]]


def test_restarted_broker_loses_no_job(ask, celery_worker, redis_server, note):
    first = ask("trial note", "before the broker died")
    assert redis_server.queued() == 1
    redis_server.kill()  # its messages die with it
    second = ask("trial note", "while the broker was away")
    redis_server.start()
    assert redis_server.queued() == 0

    celery_worker(beat=True)

    _wait_for(first, "done")
    _wait_for(second, "done")
    assert len(note.read_text().splitlines()) == 2


def test_request_is_stored_although_the_broker_is_away(ask, redis_server, caplog):
    redis_server.kill()

    job = ask("trial note")

    job.refresh_from_db()
    assert job.state == "waiting"
    assert f"no message could be sent for job {job.pk}; the sweeper will pick it up" in caplog.text


def test_wake_leaves_a_broker_that_is_away_alone_for_a_while(ask, redis_server, caplog):
    redis_server.kill()

    jobs_asked = [ask("trial note", "first"), ask("trial note", "second")]

    warned = [record.args[0] for record in caplog.records if record.name == "workshop.jobs.wakeup"]
    assert warned == [jobs_asked[0].pk]


def test_wake_many_gives_up_at_the_first_message_that_cannot_be_sent(celery_settings, redis_server, caplog):
    redis_server.kill()

    wakeup.wake_many([1, 2, 3])

    assert [record.args[0] for record in caplog.records if record.name == "workshop.jobs.wakeup"] == [1]
