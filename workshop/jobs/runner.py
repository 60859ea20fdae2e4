"""Runs jobs in threads of the serving process: the embedded kind of installation."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from types import TracebackType

from django.conf import settings
from django.db import close_old_connections, connection
from django.utils import timezone

from workshop.jobs import wakeup
from workshop.jobs.execution import run_claimed
from workshop.jobs.models import Job
from workshop.jobs.services import claims
from workshop.jobs.services.routine import request_daily

logger = logging.getLogger(__name__)

_LOOK_EVERY_S = 1.0
_AFTER_TROUBLE_S = 5.0


class Runner:
    """A few threads that run due jobs, and one that sweeps, until stopped.

    ``stop`` lets running jobs end; one that neither ends nor reports progress in time is put back, so that
    the next process begins it anew at once. Either way no job is lost.
    """

    def __init__(self, threads: int | None = None) -> None:
        self._stopping = threading.Event()
        self._running: dict[int, Job] = {}
        count = settings.JOBS_THREADS if threads is None else threads
        self._threads = [
            threading.Thread(target=self._work, name=f"jobs-{number}", daemon=True)
            for number in range(1, count + 1)
        ]
        self._threads.append(threading.Thread(target=self._sweep, name="jobs-sweeper", daemon=True))

    def __enter__(self) -> Runner:
        self.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.stop()

    def start(self) -> None:
        """Begin to run jobs."""
        for thread in self._threads:
            thread.start()

    def stop(self, patience_s: float = 10.0) -> None:
        """Stop within ``patience_s`` seconds, whatever the running handlers do."""
        self._stopping.set()
        wakeup.due.set()
        until = time.monotonic() + patience_s
        for thread in self._threads:
            thread.join(max(0.0, until - time.monotonic()))
        for job in list(self._running.values()):
            if claims.put_back(job, now=timezone.now()):
                logger.warning("job %s (%s) did not stop in time and is put back", job.pk, job)

    def _work(self) -> None:
        while not self._stopping.is_set():
            if self._tried(self._run_next):
                continue
            wakeup.due.wait(_LOOK_EVERY_S)
            wakeup.due.clear()
        connection.close()

    def _sweep(self) -> None:
        while not self._stopping.is_set():
            self._tried(self._sweep_once)
            self._stopping.wait(settings.JOBS_SWEEP_SECONDS)
        connection.close()

    def _run_next(self) -> bool:
        job = claims.claim_next(now=timezone.now())
        if job is None:
            return False
        self._running[job.pk] = job
        try:
            run_claimed(job, self._stopping)
        finally:
            del self._running[job.pk]
        return True

    def _sweep_once(self) -> bool:
        now = timezone.now()
        return bool(request_daily(now=now) + claims.sweep(now=now))

    def _tried(self, step: Callable[[], bool]) -> bool:
        """Take a step; whatever goes wrong (the database is away, say) must not end the thread."""
        try:
            close_old_connections()
            return step()
        except Exception:
            # Whatever it was, it is logged whole: a thread that ended would leave every later job undone.
            logger.exception("the job runner could not go on; it tries again in %g s", _AFTER_TROUBLE_S)
            connection.close()
            self._stopping.wait(_AFTER_TROUBLE_S)
            return False
