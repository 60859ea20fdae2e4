"""Tells a worker that a job is due. Only a hint: what counts is the job's row, and the sweeper reads it."""

from __future__ import annotations

import logging
import threading
import time
from dataclasses import dataclass

from django.conf import settings

logger = logging.getLogger(__name__)

due = threading.Event()
"""Set in the serving process of an embedded installation when a job may have become due."""


@dataclass
class _Broker:
    """Whether it is worth trying to send: a broker that was away is left alone for a while."""

    silent_until: float = float("-inf")


_broker = _Broker()


def wake(job_id: int) -> None:
    """Wake whoever runs jobs in this installation. Never raises: a lost message costs a few seconds only."""
    if settings.JOBS_RUNNER == "celery":
        _send(job_id)
    else:
        due.set()


def wake_many(job_ids: list[int]) -> None:
    """Wake workers for jobs that are overdue; each message is void by the time of the next sweep."""
    if settings.JOBS_RUNNER != "celery":
        if job_ids:
            due.set()
        return
    for job_id in job_ids:
        if not _send(job_id, expires=settings.JOBS_SWEEP_SECONDS):
            return  # the broker is away; the next sweep tries again


def _send(job_id: int, *, expires: int | None = None) -> bool:
    from workshop.celery import app  # noqa: PLC0415  an embedded installation needs no Celery

    if time.monotonic() < _broker.silent_until:
        return False
    try:
        app.send_task("workshop.jobs.tasks.run_job", args=[job_id], expires=expires)
    except Exception as error:
        # The caller's facts and the job's row are committed: the sweeper finds the job. Trying takes
        # seconds, which the pages of the next moments shall not pay as well.
        _broker.silent_until = time.monotonic() + settings.JOBS_SWEEP_SECONDS
        logger.warning("no message could be sent for job %s; the sweeper will pick it up (%s)", job_id, error)
        return False
    return True
