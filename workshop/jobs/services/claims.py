"""Who may run a job: a claim gives one worker the job until its lease ends, and only that worker.

Every claim has a name of its own (``leased_by``). Whatever a worker writes about a job is written on
condition that the claim is still its own, so a worker that was thought dead cannot undo its successor's work.
"""

from __future__ import annotations

import os
import socket
import uuid
from datetime import datetime, timedelta

from django.conf import settings
from django.db import transaction
from django.db.models import F, QuerySet

from workshop.jobs import rules, wakeup
from workshop.jobs.models import Job, JobState
from workshop.jobs.queries import due_jobs, lapsed_jobs

_BUSY_LIMIT = 100


def lease_time() -> timedelta:
    """Return how long a claim holds without a sign of life."""
    return timedelta(seconds=settings.JOBS_LEASE_SECONDS)


def claim_next(*, now: datetime) -> Job | None:
    """Claim the longest due job; None where nothing is due."""
    # A look without a lock first: on SQLite an idle worker must not keep taking the writer's turn.
    if not due_jobs(now).exists():
        return None
    return _claim(due_jobs(now), now)


def claim_job(job_id: int, *, now: datetime) -> Job | None:
    """Claim one job; None where it is not due, already running, or finished."""
    return _claim(due_jobs(now).filter(pk=job_id), now)


@transaction.atomic
def _claim(jobs: QuerySet[Job], now: datetime) -> Job | None:
    job = jobs.select_for_update(skip_locked=True).first()
    if job is None:
        return None
    claim = _claim_name()
    # SQLite has no row locks: there the condition on the state decides who was first.
    claimed = Job.objects.filter(pk=job.pk, state=JobState.WAITING).update(
        state=JobState.RUNNING,
        attempts=F("attempts") + 1,
        leased_by=claim,
        leased_until_at=now + lease_time(),
        progress=0,
        message="",
    )
    if not claimed:
        return None
    return Job.objects.select_related("workshop").get(pk=job.pk)


def _claim_name() -> str:
    return f"{socket.gethostname()[:30]}:{os.getpid()}:{uuid.uuid4().hex}"


def held(job: Job) -> QuerySet[Job]:
    """Return the job as a queryset that is empty once the claim is no longer ours."""
    return Job.objects.filter(pk=job.pk, state=JobState.RUNNING, leased_by=job.leased_by)


def extend_lease(job: Job, *, now: datetime) -> bool:
    """Give a sign of life. Returns False where the claim was lost."""
    return bool(held(job).update(leased_until_at=now + lease_time()))


def put_back(job: Job, *, now: datetime) -> bool:
    """Give up a claim because the process stops; the attempt does not count. False where it was lost."""
    return bool(
        held(job).update(
            state=JobState.WAITING,
            attempts=F("attempts") - 1,
            due_at=now,
            leased_by="",
            leased_until_at=None,
            progress=0,
            message="",
        )
    )


def sweep(*, now: datetime) -> int:
    """Pick up what nobody looks after: jobs of dead workers, and due jobs whose message was lost.

    Returns:
        How many dead workers' jobs were taken from them.
    """
    taken = sum(_take_from_dead(job, now) for job in lapsed_jobs(now))
    wakeup.wake_many(list(due_jobs(now).values_list("pk", flat=True)[:_BUSY_LIMIT]))
    return taken


def _take_from_dead(job: Job, now: datetime) -> int:
    # The attempt counts: a job that kills its worker each time must not do so for ever.
    claim = held(job).filter(leased_until_at__lt=now)
    if job.cancel_asked:
        return claim.update(
            state=JobState.CANCELLED, leased_by="", leased_until_at=None, message="", finished_at=now
        )
    if rules.is_last(job.attempts) and not job.rerun_asked:
        return claim.update(
            state=JobState.FAILED,
            leased_by="",
            leased_until_at=None,
            message=rules.lost_message(job.pk),
            finished_at=now,
        )
    return claim.update(
        state=JobState.WAITING, due_at=now, leased_by="", leased_until_at=None, progress=0, message=""
    )
