"""Asking for the work plan anew, from whichever service changed its facts."""

from __future__ import annotations

from datetime import datetime

from workshop import jobs
from workshop.people.models import Workshop

PLAN_JOB = "refresh_plan"
PLAN_KEY = "plan"


def ask_for_plan(workshop: Workshop, now: datetime | None = None) -> None:
    """Ask for a new plan: the facts that it is made from have changed, or somebody wishes it.

    Services ask themselves; those of rooms below this one, which know of no plan (people, prices), leave it
    to the page that calls them.
    """
    jobs.request(kind=PLAN_JOB, key=PLAN_KEY, workshop=workshop, again=True, now=now)
