"""The tasks of a garment, from the draft that holds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from django.db import transaction

from costing.rules.labour import Operation
from workshop.orders.models import Draft, Garment, Stage
from workshop.orders.queries import operations_of, pattern_of
from workshop.people.services.log import write_log
from workshop.planning.models import Task, TaskGroup, TimeEntry
from workshop.planning.rules.joining import FIRST_ADDED, Joined, join

PAST_CUTTING = (Stage.SEW, Stage.FIT, Stage.DELIVER)


@transaction.atomic
def sync_tasks(*, garment: Garment, now: datetime) -> list[Task]:
    """Bring the garment's tasks in line with the draft that holds, and return those of the draft, in order.

    What was begun or done stays as it is; what was not begun takes the new draft's operations and minutes,
    keeping person, time and pin; what the new draft does not need is taken off. Without a draft nothing is
    left but what was begun. Cutting is done once the garment has moved on to be sewn, timed or not: every
    line of its cutting list was ticked for that. What was done from an older draft is open again while the
    garment waits to be cut from this one. Run twice, it changes nothing the second time.
    """
    stage = Garment.objects.select_for_update().get(pk=garment.pk).stage
    draft = Draft.objects.filter(garment=garment, superseded_at__isnull=True).first()
    wanted = {} if draft is None else {joined.position: joined for joined in _joined(garment, draft)}
    known = {
        task.position: task
        for task in Task.objects.filter(garment=garment, position__lt=FIRST_ADDED).order_by("pk")
    }
    if draft is not None and stage not in PAST_CUTTING:
        _reopen(known.values(), draft)
    changed = [
        position
        for position, joined in wanted.items()
        if _bring_in_line(garment, known.get(position), joined)
    ]
    surplus = [task for position, task in known.items() if position not in wanted and not _begun(task)]
    Task.objects.filter(pk__in=[task.pk for task in surplus]).delete()
    if stage in PAST_CUTTING:
        _finish_cutting(garment, now)
    if changed or surplus:
        write_log(
            workshop=garment.workshop,
            by=None,
            action="list tasks",
            row=garment,
            order_id=garment.order_id,
            summary=f"Listed the tasks of {garment.title} from its draft",
            now=now,
            before={"positions": sorted(known)},
            after={"positions": sorted({*wanted, *(p for p, task in known.items() if _begun(task))})},
        )
    return list(Task.objects.filter(garment=garment, position__lt=FIRST_ADDED).order_by("position"))


def _reopen(tasks: Iterable[Task], draft: Draft) -> None:
    """Open again what was done from an older draft, of a garment that is to be cut anew."""
    for task in tasks:
        if task.done_at is not None and task.done_at < draft.created_at:
            task.started_at = task.done_at = None
            task.save(update_fields=["started_at", "done_at"])


def _finish_cutting(garment: Garment, now: datetime) -> None:
    running = TimeEntry.objects.filter(task__garment=garment, ended_at__isnull=True).values("task_id")
    left = Task.objects.filter(garment=garment, group=TaskGroup.CUT, done_at__isnull=True)
    left.exclude(pk__in=running).update(done_at=now)


def add_task(
    *, garment: Garment, group: TaskGroup, title: str, minutes: int, steps: Sequence[dict[str, Any]]
) -> Task:
    """Add a task behind all others of the garment, within the caller's transaction, which holds the
    garment's row."""
    last = Task.objects.filter(garment=garment, position__gte=FIRST_ADDED).order_by("-position").first()
    return Task.objects.create(
        workshop=garment.workshop,
        garment=garment,
        position=FIRST_ADDED if last is None else last.position + 1,
        group=group,
        title=title,
        operations=list(steps),
        minutes_planned=minutes,
    )


def _joined(garment: Garment, draft: Draft) -> Iterable[Joined]:
    return join(operations_of(garment, pattern_of(draft)).operations)


def _begun(task: Task) -> bool:
    return task.started_at is not None or task.done_at is not None


def _bring_in_line(garment: Garment, task: Task | None, joined: Joined) -> bool:
    """Create the task or take over what differs; return whether anything was written."""
    facts = {
        "group": joined.group.value,
        "title": joined.title,
        "operations": [_step(operation, joined) for operation in joined.operations],
        "minutes_planned": joined.minutes,
    }
    if task is None:
        Task.objects.create(workshop=garment.workshop, garment=garment, position=joined.position, **facts)
        return True
    different = {name: value for name, value in facts.items() if getattr(task, name) != value}
    if not different or _begun(task):
        return False
    for name, value in different.items():
        setattr(task, name, value)
    task.save(update_fields=list(different))
    return True


def _step(operation: Operation, joined: Joined) -> dict[str, Any]:
    return {
        "name": operation.name,
        "minutes": round(operation.minutes, 2),
        "kind": operation.kind,
        "why": operation.why,
        "after_fitting": joined.after_fitting,
    }
