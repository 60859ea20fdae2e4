"""Runs claimed jobs and turns whatever happens into an outcome."""

from __future__ import annotations

import json
import logging
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection
from django.utils import timezone

from workshop.errors import REFUSALS
from workshop.jobs.context import Cancelled, ClaimLost, JobContext, Stopping
from workshop.jobs.models import Job
from workshop.jobs.registry import find_handler
from workshop.jobs.services import claims, outcomes

logger = logging.getLogger(__name__)


def run_due() -> int:
    """Run every due job here and now, also those that they ask for in turn; return how many were run."""
    count = 0
    while (job := claims.claim_next(now=timezone.now())) is not None:
        run_claimed(job)
        count += 1
    return count


def run_job(job_id: int) -> bool:
    """Run one job where it is due and nobody has it. Returns whether it was run; safe to call twice."""
    job = claims.claim_job(job_id, now=timezone.now())
    if job is None:
        return False
    run_claimed(job)
    return True


def run_claimed(job: Job, stopping: threading.Event | None = None) -> None:
    """Run a job that this worker has claimed, keep its lease alive meanwhile, and store the outcome."""
    context = JobContext(job, stopping)
    with _lease_kept(job, context):
        stored = _outcome(job, context)
    if not stored:
        logger.warning("job %s (%s) lost its claim; what this worker made of it is not noted", job.pk, job)


def _outcome(job: Job, context: JobContext) -> bool:
    try:
        find_handler(job.kind)(context)
        if context.told_to_stop:
            context.check()  # what a handler left behind when told to stop is not a finished work
        json.dumps(context.result)
    except Cancelled:
        return outcomes.cancelled(job, now=timezone.now())
    except Stopping:
        return claims.put_back(job, now=timezone.now())
    except ClaimLost:
        return False
    except REFUSALS as refusal:
        logger.info("job %s (%s) refused: %s", job.pk, job, refusal)
        return outcomes.refuse(job, reason=str(refusal), now=timezone.now())
    except Exception:
        # Not a refusal, so not final: it is logged whole and tried again, a few times at most.
        logger.exception("job %s (%s) failed in attempt %s", job.pk, job, job.attempts)
        return outcomes.fail_attempt(job, now=timezone.now())
    except BaseException:
        # The worker itself is being ended (SystemExit, KeyboardInterrupt).
        claims.put_back(job, now=timezone.now())
        raise
    return outcomes.finish(job, result=context.result, now=timezone.now())


@contextmanager
def _lease_kept(job: Job, context: JobContext) -> Iterator[None]:
    done = threading.Event()
    thread = threading.Thread(
        target=_keep_lease, args=(job, context, done), name=f"lease-{job.pk}", daemon=True
    )
    thread.start()
    try:
        yield
    finally:
        done.set()
        thread.join()


def _keep_lease(job: Job, context: JobContext, done: threading.Event) -> None:
    """Give a sign of life four times a lease, on a connection of this thread's own."""
    interval = claims.lease_time().total_seconds() / 4
    try:
        while not done.wait(interval):
            try:
                kept = claims.extend_lease(job, now=timezone.now())
            except Exception:
                # The database is busy or away; the lease outlives three missed signs.
                logger.warning("the lease of job %s could not be extended", job.pk, exc_info=True)
                connection.close()
                continue
            if not kept:
                context.lost.set()
                return
    finally:
        connection.close()
