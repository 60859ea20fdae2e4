"""What Celery workers and beat call. Thin: the job's row decides what happens."""

from __future__ import annotations

from django.utils import timezone

from workshop.celery import app
from workshop.jobs import execution
from workshop.jobs.services import claims
from workshop.jobs.services.routine import request_daily


@app.task(name="workshop.jobs.tasks.run_job", ignore_result=True)
def run_job(job_id: int) -> None:
    """Run a job where it is due and nobody has it."""
    execution.run_job(job_id)


@app.task(name="workshop.jobs.tasks.sweep", ignore_result=True)
def sweep() -> None:
    """Ask for the day's work; pick up what dead workers and lost messages left behind."""
    request_daily(now=timezone.now())
    claims.sweep(now=timezone.now())
