"""Asking for background work, and taking the request back."""

from __future__ import annotations

from datetime import datetime
from functools import partial
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone

from workshop.errors import Refusal
from workshop.jobs import wakeup
from workshop.jobs.models import Job, JobState
from workshop.people.models import Workshop

_OPEN = (JobState.WAITING, JobState.RUNNING)


class AlreadyFinished(Refusal):
    """The job is done, failed or cancelled: there is nothing left to cancel."""


@transaction.atomic
def request(
    *,
    kind: str,
    key: str,
    workshop: Workshop,
    params: dict[str, Any] | None = None,
    again: bool = False,
    prompt: bool = False,
    now: datetime | None = None,
) -> Job:
    """Ask for a job within the caller's transaction; an open one with the same key is returned.

    The record is what counts: it is committed, or not, together with the facts that it was asked for. The
    message that wakes a worker is sent after the commit and may be lost without harm.

    Args:
        kind: the name of a registered handler.
        key: what the job depends on, so that the same wish twice is one job.
        params: ids and plain values for the handler; JSON.
        again: the handler reads stored facts that may just have changed. A job that has begun may have read
            the old ones, so it runs once more; the newest params are the ones it gets.
        prompt: soon done, and waited for: it goes before what has waited longer, where workers choose what
            is next (a worker that is woken by a message does the job that the message names).
        now: the time of the request; the clock's where it is not given.
    """
    now = now or timezone.now()
    job = _open_job(workshop=workshop, kind=kind, key=key)
    if job is None:
        job = _new_job(
            Job(
                workshop=workshop,
                kind=kind,
                key=key,
                params=params or {},
                prompt=prompt,
                due_at=now,
                created_at=now,
            )
        )
    elif again:
        _ask_again(job, params or {})
    if job.state == JobState.WAITING:
        transaction.on_commit(partial(wakeup.wake, job.pk))
    return job


def _open_job(*, workshop: Workshop, kind: str, key: str) -> Job | None:
    # Locked: a waiting job must not be claimed, nor a running one finish, between this look and the
    # caller's commit, or the worker would never see what the caller is about to commit.
    return (
        Job.objects.select_for_update().filter(workshop=workshop, kind=kind, key=key, state__in=_OPEN).first()
    )


def _new_job(job: Job) -> Job:
    try:
        with transaction.atomic():
            job.save()
    except IntegrityError:
        # Another request with this key was committed in between.
        other = _open_job(workshop=job.workshop, kind=job.kind, key=job.key)
        if other is None:
            raise
        return other
    return job


def _ask_again(job: Job, params: dict[str, Any]) -> None:
    job.params = params
    job.rerun_asked = job.state == JobState.RUNNING
    job.save(update_fields=["params", "rerun_asked"])


@transaction.atomic
def cancel(*, job: Job, now: datetime | None = None) -> Job:
    """Cancel a job: a waiting one at once, a running one when its handler next reports progress.

    Raises:
        AlreadyFinished: the job is no longer open.
    """
    job = Job.objects.select_for_update().get(pk=job.pk)
    if not job.is_open:
        raise AlreadyFinished(f"This is already {job.get_state_display()}; there is nothing to cancel.")
    job.cancel_asked = True
    job.rerun_asked = False
    if job.state == JobState.WAITING:
        job.state = JobState.CANCELLED
        job.message = ""
        job.finished_at = now or timezone.now()
    job.save(update_fields=["cancel_asked", "rerun_asked", "state", "message", "finished_at"])
    return job
