"""Asking for the work plan anew, from whichever service changed its facts."""

from __future__ import annotations

from workshop import jobs
from workshop.people.models import Workshop

PLAN_JOB = "refresh_plan"
PLAN_KEY = "plan"


def ask_for_plan(workshop: Workshop) -> None:
    """The facts that the plan is made from have changed."""
    jobs.request(kind=PLAN_JOB, key=PLAN_KEY, workshop=workshop, again=True)
