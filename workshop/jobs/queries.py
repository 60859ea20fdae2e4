"""What is asked about jobs and their documents."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Max, Q, QuerySet

from workshop.jobs.models import Document, Job, JobState
from workshop.people.models import Workshop

_WORDS_WITHOUT_MESSAGE = {
    JobState.WAITING: "Waiting to begin",
    JobState.RUNNING: "At work",
    JobState.DONE: "Done",
    JobState.FAILED: "This could not be done",
    JobState.CANCELLED: "Cancelled",
}


@dataclass(frozen=True)
class Progress:
    """What a progress bar shows.

    ``percent`` is 100 only for a finished job; ``words`` is a sentence for people; ``is_open`` says whether
    it is worth asking again; ``result`` is what the handler left, once done.
    """

    job_id: int
    state: str
    percent: int
    words: str
    is_open: bool
    due_at: datetime
    result: dict[str, Any] | None


def progress_of(job: Job) -> Progress:
    """Return what a progress bar shows of a job as it was read."""
    return Progress(
        job_id=job.pk,
        state=job.state,
        percent=job.progress,
        words=job.message or _WORDS_WITHOUT_MESSAGE[JobState(job.state)],
        is_open=job.is_open,
        due_at=job.due_at,
        result=job.result if job.state == JobState.DONE else None,
    )


def progress(workshop: Workshop, job_id: int) -> Progress:
    """Return how far a job of this workshop is. Raises: Job.DoesNotExist, also for another workshop's job."""
    return progress_of(Job.objects.get(workshop=workshop, pk=job_id))


def latest(workshop: Workshop, kind: str, key: str) -> Job | None:
    """Return the newest job of a kind and key, open or not."""
    return Job.objects.filter(workshop=workshop, kind=kind, key=key).order_by("-pk").first()


def latest_of_each(workshop: Workshop, kind: str, prefixes: Sequence[str]) -> list[Job | None]:
    """Return the newest job of a kind, open or not, whose key begins with each, in two queries."""
    newest = Job.objects.filter(workshop=workshop, kind=kind).aggregate(
        **{f"newest_{n}": Max("pk", filter=Q(key__startswith=prefix)) for n, prefix in enumerate(prefixes)}
    )
    held = Job.objects.in_bulk([pk for pk in newest.values() if pk is not None])
    return [held.get(pk) for pk in newest.values()]


def due_jobs(now: datetime) -> QuerySet[Job]:
    """Return the jobs that may begin: the prompt ones, then the longest due first."""
    return Job.objects.filter(state=JobState.WAITING, due_at__lte=now).order_by("-prompt", "due_at", "pk")


def lapsed_jobs(now: datetime) -> QuerySet[Job]:
    """Return the running jobs whose worker has not been heard of within its lease."""
    return Job.objects.filter(state=JobState.RUNNING, leased_until_at__lt=now).order_by("pk")


def documents_of(job: Job) -> QuerySet[Document]:
    """Return the files that a job made, in the order in which they were made."""
    return Document.objects.filter(job=job).order_by("pk")
