"""What comes of a claimed job. Each is written only while the claim holds; False says that it was lost."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db import transaction

from workshop.jobs import rules, wakeup
from workshop.jobs.models import Job, JobState
from workshop.jobs.services.claims import held


def report_progress(job: Job, *, percent: int, words: str) -> bool:
    """Store how far a running job is."""
    return bool(held(job).update(progress=percent, message=rules.shortened(words)))


def finish(job: Job, *, result: dict[str, Any], now: datetime) -> bool:
    """Store that a job is done; it waits once more where it was asked for again meanwhile."""
    return _close(job, state=JobState.DONE, progress=100, message="", result=result, now=now)


def refuse(job: Job, *, reason: str, now: datetime) -> bool:
    """Store that a rule forbids the job: the reason is for people, and trying again would not help."""
    return _close(job, state=JobState.FAILED, message=reason, now=now)


def cancelled(job: Job, *, now: datetime) -> bool:
    """Store that the handler stopped because somebody cancelled the job."""
    return _close(job, state=JobState.CANCELLED, message="", now=now)


def fail_attempt(job: Job, *, now: datetime) -> bool:
    """Store that an attempt failed for no reason that people could mend: later again, or never."""
    if rules.is_last(job.attempts):
        return _close(job, state=JobState.FAILED, message=rules.failure_message(job.pk), now=now)
    return bool(
        held(job).update(
            state=JobState.WAITING,
            due_at=now + rules.retry_delay(job.attempts),
            leased_by="",
            leased_until_at=None,
            progress=0,
            message=rules.retry_message(job.attempts),
        )
    )


@transaction.atomic
def _close(
    job: Job,
    *,
    state: JobState,
    message: str,
    now: datetime,
    progress: int | None = None,
    result: dict[str, Any] | None = None,
) -> bool:
    # Locked, so that a request to run again is either seen here or finds the job closed.
    row = held(job).select_for_update().first()
    if row is None:
        return False
    row.leased_by = ""
    row.leased_until_at = None
    row.message = rules.shortened(message)
    row.progress = row.progress if progress is None else progress
    row.result = result
    if row.rerun_asked:
        _begin_anew(row, now)
    else:
        row.state = state
        row.finished_at = now
    row.save()
    return True


def _begin_anew(row: Job, now: datetime) -> None:
    row.state = JobState.WAITING
    row.rerun_asked = False
    row.attempts = 0
    row.progress = 0
    row.message = ""
    row.due_at = now
    transaction.on_commit(lambda: wakeup.wake(row.pk))
