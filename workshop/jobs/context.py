"""What a handler is given: the job's facts, and the ways to report and to leave a result."""

from __future__ import annotations

import threading
import time
from typing import Any

from workshop.jobs import rules
from workshop.jobs.models import Job
from workshop.jobs.services import claims, outcomes

_WRITE_EVERY_S = 0.2
_LOOK_EVERY_S = 0.5


class Interrupted(Exception):
    """The handler has to stop now. Handlers let it pass; it is not an error of theirs."""


class Cancelled(Interrupted):
    """Somebody cancelled the job."""


class Stopping(Interrupted):
    """This process is stopping; the job goes back and another process begins it anew."""


class ClaimLost(Interrupted):
    """The lease lapsed and somebody else has the job."""


class JobContext:
    """One attempt at a job.

    Attributes:
        id, kind, key, params, workshop, workshop_id, attempt: the facts of the job.
        result: plain values (JSON) for whoever asked; the handler fills it in.
    """

    def __init__(self, job: Job, stopping: threading.Event | None = None) -> None:
        self.id = job.pk
        self.kind = job.kind
        self.key = job.key
        self.params: dict[str, Any] = job.params
        self.workshop = job.workshop
        self.workshop_id: int = job.workshop_id
        self.attempt = job.attempts
        self.result: dict[str, Any] = {}
        self.lost = threading.Event()
        self.told_to_stop = False
        self._job = job
        self._stopping = stopping or threading.Event()
        self._cancelled = False
        self._written_at = float("-inf")
        self._looked_at = float("-inf")

    def progress(self, percent: float, words: str = "") -> None:
        """Report how far the work is, in percent and in words; at most five times a second are stored.

        Call it outside of a transaction: within one, nobody sees it before the commit.

        Raises:
            Interrupted: the work is to stop.
        """
        self.check()
        if time.monotonic() - self._written_at < _WRITE_EVERY_S:
            return
        self._written_at = time.monotonic()
        if not outcomes.report_progress(self._job, percent=rules.percent(percent), words=words):
            self.lost.set()
            raise ClaimLost(f"job {self.id} is no longer this worker's")

    def is_cancelled(self) -> bool:
        """Whether the work is to stop, for whatever reason. Cheap: it may be asked all the time."""
        if not self._cancelled and time.monotonic() - self._looked_at >= _LOOK_EVERY_S:
            self._looked_at = time.monotonic()
            self._cancelled = claims.held(self._job).filter(cancel_asked=True).exists()
        if self._stopping.is_set() or self.lost.is_set() or self._cancelled:
            self.told_to_stop = True
        return self.told_to_stop

    def check(self) -> None:
        """Raises: Interrupted where the work is to stop."""
        if not self.is_cancelled():
            return
        if self.lost.is_set():
            raise ClaimLost(f"job {self.id} is no longer this worker's")
        if self._cancelled:
            raise Cancelled(f"job {self.id} was cancelled")
        raise Stopping(f"job {self.id} goes back: this process is stopping")
