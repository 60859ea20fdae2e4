"""How much the timed tasks of one garment have in common."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from costing.rules.learning import Learnt, TimedTask
from workshop.people.models import Workshop
from workshop.planning.models import TimeEntry
from workshop.planning.queries.after import minutes_spent
from workshop.planning.queries.learnt import kinds_in
from workshop.planning.rules.common_noise import Residual, garment_spread

MOST_READ = 3000
"""The newest entries that are read: how a workshop worked years ago says little."""


def garment_spread_of(workshop: Workshop, learnt: Learnt) -> float:
    """Return how far a garment of the workshop is harder than its estimate knows, in one query."""
    rows = TimeEntry.objects.filter(workshop=workshop, task__done_at__isnull=False, ended_at__isnull=False)
    entries: dict[int, list[TimeEntry]] = {}
    for entry in rows.select_related("task").order_by("-started_at", "-pk")[:MOST_READ]:
        entries.setdefault(entry.task_id, []).append(entry)
    return garment_spread(_residuals(entries, learnt))


def _residuals(entries: Mapping[int, list[TimeEntry]], learnt: Learnt) -> Iterator[Residual]:
    for rows in entries.values():
        task, workers = rows[0].task, {row.staff_id for row in rows}
        timed = TimedTask(task.group, min(workers), float(task.minutes_planned), minutes_spent(rows)[task.pk])
        if len(workers) == 1 and not timed.is_slip:
            known = learnt.correction(task.group, timed.worker, kinds_in(task))
            scatter = learnt.scatter_of(task.group)
            yield Residual(task.garment_id, timed.log_ratio - known.mean + scatter**2 / 2)
