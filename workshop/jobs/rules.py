"""When a job is tried again, and what people are told about it. Pure."""

from __future__ import annotations

from datetime import timedelta
from math import isnan

MOST_ATTEMPTS = 5
"""After so many the job has failed for good: whatever stops it will not go away by itself."""

_DELAYS = (timedelta(seconds=5), timedelta(seconds=30), timedelta(minutes=2), timedelta(minutes=10))
MESSAGE_LENGTH = 300


def retry_delay(attempts: int) -> timedelta:
    """Return how long to wait after ``attempts`` (1 or more) have failed: ten minutes at most."""
    if attempts < 1:
        raise ValueError(f"no attempt has been made yet: {attempts}")
    return _DELAYS[min(attempts, len(_DELAYS)) - 1]


def is_last(attempts: int) -> bool:
    """Whether no further attempt follows after ``attempts``."""
    return attempts >= MOST_ATTEMPTS


def percent(value: float) -> int:
    """Return a share of the work as a whole percentage, 0 to 99: only a finished job says 100."""
    if isnan(value):
        return 0
    return int(max(0.0, min(99.0, value)))


def shortened(text: str) -> str:
    """Return a message for people on one line, cut to what a job's record can hold."""
    line = " ".join(text.split())
    return line if len(line) <= MESSAGE_LENGTH else line[: MESSAGE_LENGTH - 1] + "…"


def retry_message(attempts: int) -> str:
    """Return what people read while a failed job waits for its next attempt."""
    return f"Attempt {attempts} of {MOST_ATTEMPTS} did not succeed; it is tried again by itself."


def failure_message(job_id: int) -> str:
    """Return what people read when the last attempt has failed."""
    return (
        f"This did not succeed in {MOST_ATTEMPTS} attempts. Ask for it again; if it fails again, tell "
        f"whoever looks after this installation that it was job {job_id}."
    )


def lost_message(job_id: int) -> str:
    """Return what people read when every attempt ended with the worker itself."""
    return (
        f"The computer stopped {MOST_ATTEMPTS} times in the middle of this. Tell whoever looks after this "
        f"installation that it was job {job_id}."
    )
