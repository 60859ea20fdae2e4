from __future__ import annotations

import threading
from datetime import timedelta

import pytest
from django.db import connection

from tests.workshop.jobs.conftest import NOW
from workshop import jobs
from workshop.jobs import rules
from workshop.jobs.models import Job
from workshop.jobs.services import claims, outcomes

LATER = NOW + timedelta(seconds=61)  # after a lease of 60 s


@pytest.fixture
def ask(workshop):
    def ask(key="a", now=NOW, **more):
        return jobs.request(kind="trial note", key=key, workshop=workshop, now=now, **more)

    return ask


def test_claim_next_takes_the_longest_due(ask):
    ask("second", NOW)
    first = ask("first", NOW - timedelta(seconds=1))

    job = claims.claim_next(now=NOW)

    assert job == first
    assert (job.state, job.attempts, job.leased_until_at) == ("running", 1, NOW + timedelta(seconds=60))


def test_claim_next_takes_what_is_prompt_before_what_has_waited_longer(ask):
    ask("long due", NOW - timedelta(hours=1))
    prompt = ask("prompt", NOW, prompt=True)
    ask("prompt, not due", NOW + timedelta(seconds=1), prompt=True)

    assert claims.claim_next(now=NOW) == prompt
    assert claims.claim_next(now=NOW).key == "long due"


def test_claim_next_leaves_what_is_not_due(ask):
    ask(now=NOW + timedelta(seconds=1))

    assert claims.claim_next(now=NOW) is None


def test_claim_job_gives_a_job_once(ask):
    job = ask()

    assert claims.claim_job(job.pk, now=NOW) == job
    assert claims.claim_job(job.pk, now=NOW) is None


@pytest.mark.django_db(transaction=True)
def test_claim_next_shares_jobs_among_threads_without_giving_any_twice(ask):
    wanted = {ask(str(number)).pk for number in range(12)}
    gate = threading.Barrier(4)
    claimed: list[int] = []

    def work() -> None:
        gate.wait()
        while (job := claims.claim_next(now=NOW)) is not None or Job.objects.filter(state="waiting").exists():
            if job is not None:
                claimed.append(job.pk)
        connection.close()

    threads = [threading.Thread(target=work) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(claimed) == sorted(wanted)


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_claim_next_passes_over_a_job_that_a_request_holds(ask):
    """A request that found a waiting job holds its row: a worker must not wait for it, nor take it."""
    from django.db import transaction

    held, free = ask("held"), ask("free")
    claimed: list[Job | None] = []

    def claim() -> None:
        claimed.append(claims.claim_next(now=NOW))
        claimed.append(claims.claim_next(now=NOW))
        connection.close()

    with transaction.atomic():
        ask("held")
        worker = threading.Thread(target=claim)
        worker.start()
        worker.join(20)

    assert claimed == [free, None]
    assert claims.claim_next(now=NOW) == held


def test_extend_lease_moves_the_end(ask):
    ask()
    job = claims.claim_next(now=NOW)

    assert claims.extend_lease(job, now=LATER) is True
    assert Job.objects.get().leased_until_at == LATER + timedelta(seconds=60)


def test_put_back_does_not_count_the_attempt(ask):
    ask()
    job = claims.claim_next(now=NOW)

    assert claims.put_back(job, now=LATER) is True

    job.refresh_from_db()
    assert (job.state, job.attempts, job.due_at, job.leased_by) == ("waiting", 0, LATER, "")


def test_sweep_takes_a_job_from_a_dead_worker(ask):
    ask()
    claims.claim_next(now=NOW)

    assert claims.sweep(now=NOW + timedelta(seconds=60)) == 0
    assert claims.sweep(now=LATER) == 1

    job = Job.objects.get()
    assert (job.state, job.attempts, job.due_at, job.leased_by) == ("waiting", 1, LATER, "")


def test_sweep_gives_up_a_job_that_ends_its_worker_every_time(ask):
    job = ask()
    now = NOW
    for _ in range(rules.MOST_ATTEMPTS):
        claims.claim_next(now=now)
        now += timedelta(seconds=61)
        claims.sweep(now=now)

    job.refresh_from_db()
    assert (job.state, job.attempts, job.finished_at) == ("failed", 5, now)
    assert job.message == (
        f"The computer stopped 5 times in the middle of this. Tell whoever looks after this "
        f"installation that it was job {job.pk}."
    )


def test_sweep_closes_a_cancelled_job_of_a_dead_worker(ask):
    job = ask()
    claims.claim_next(now=NOW)
    jobs.cancel(job=job)

    claims.sweep(now=LATER)

    job.refresh_from_db()
    assert (job.state, job.finished_at) == ("cancelled", LATER)


def test_a_worker_thought_dead_cannot_undo_its_successor(ask):
    ask()
    slow = claims.claim_next(now=NOW)
    claims.sweep(now=LATER)
    successor = claims.claim_next(now=LATER)

    assert outcomes.report_progress(slow, percent=90, words="Nearly") is False
    assert outcomes.finish(slow, result={"by": "slow"}, now=LATER) is False
    assert outcomes.fail_attempt(slow, now=LATER) is False
    assert claims.extend_lease(slow, now=LATER) is False
    assert claims.put_back(slow, now=LATER) is False

    assert outcomes.finish(successor, result={"by": "successor"}, now=LATER) is True
    job = Job.objects.get()
    assert (job.state, job.result, job.progress) == ("done", {"by": "successor"}, 100)
