"""Kinds of jobs that only the tests have: each behaves in one way, on real machinery."""

from __future__ import annotations

import os
import time
from pathlib import Path

from workshop.errors import Refusal
from workshop.jobs.registry import JobContext, handler


class NoCloth(Refusal):
    """What the refusing job raises."""


@handler("trial note")
def write_note(job: JobContext) -> None:
    """Append a line to a file: the file shows how often, and by which process, the job was run to its end."""
    _note(job)
    job.result["attempt"] = job.attempt


@handler("trial steps")
def take_steps(job: JobContext) -> None:
    """Report progress ``steps`` times with ``pause`` seconds between, then write a note."""
    steps = job.params["steps"]
    for step in range(steps):
        job.progress(100 * step / steps, f"Step {step + 1} of {steps}")
        time.sleep(job.params["pause"])
    _note(job)
    job.result["steps"] = steps


@handler("trial waiting for a file")
def wait_for_file(job: JobContext) -> None:
    """Keep working until a file appears; with ``deaf`` the job never asks whether it should stop."""
    awaited = Path(job.params["file"])
    job.progress(50, "Waiting for a file")
    while not awaited.exists():
        if not job.params.get("deaf"):
            job.check()
        time.sleep(0.02)
    _note(job)


@handler("trial refusal")
def refuse(job: JobContext) -> None:
    raise NoCloth("There is no cloth\nfor this; buy 2.40 m of satin.")


@handler("trial failure")
def fail(job: JobContext) -> None:
    """Fail until the attempt ``succeeds_in``."""
    if job.attempt < job.params.get("succeeds_in", 1000):
        raise ZeroDivisionError("secret detail of the programme")
    job.result["attempt"] = job.attempt


@handler("trial unstorable result")
def leave_unstorable_result(job: JobContext) -> None:
    job.result["when"] = object()


@handler("trial death")
def die(job: JobContext) -> None:
    """End the worker's process at once, as the kernel does when memory runs out."""
    _note(job)
    os._exit(9)


@handler("trial quitting early")
def quit_early(job: JobContext) -> None:
    """Return, without a word, as soon as it is told to stop."""
    while not job.is_cancelled():
        time.sleep(0.02)


def _note(job: JobContext) -> None:
    with Path(job.params["note"]).open("a", encoding="utf-8") as file:
        file.write(f"{job.key} {job.attempt} {os.getpid()}\n")
