"""Handing what timed work taught to those who price by it."""

from __future__ import annotations

from datetime import datetime

from costing import services as costing_services
from costing.models import LearntPace
from costing.rules.learning import learn, operation_corrections
from workshop.people.models import Workshop
from workshop.planning.queries.learnt import paces_of, timed_tasks


def keep_pace(*, workshop: Workshop, now: datetime) -> LearntPace:
    """Learn from all timed tasks, and keep by kind of operation what a price may rest on."""
    tasks = timed_tasks(workshop)
    return costing_services.keep_learnt(
        workshop=workshop,
        corrections=operation_corrections(learn(tasks, paces=paces_of(workshop))),
        tasks=sum(1 for task in tasks if not task.is_slip),
        now=now,
    )
