"""What holds each scarce machine when, for the picture of the week."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from workshop.people.models import Workshop
from workshop.planning.models import Machine, Task


@dataclass(frozen=True, slots=True)
class MachineUse:
    """One machine, and the tasks that hold it one after another, by their start."""

    name: str
    tasks: tuple[Task, ...]


def machine_use(workshop: Workshop, tasks: Iterable[Task]) -> list[MachineUse]:
    """Return for each scarce machine which of the tasks hold it, in one query.

    Of several of a kind each is a machine of its own; a task is given to the first that is free. What the
    owner pinned may hold more than there are: that is said in the name.
    """
    planned = sorted(
        (task for task in tasks if task.planned_start_at and task.planned_end_at),
        key=lambda task: (task.planned_start_at, task.pk),
    )
    found = []
    for machine in Machine.objects.filter(workshop=workshop).order_by("name", "pk"):
        held = _one_after_another([task for task in planned if task.group in machine.groups])
        held += [[] for _ in range(machine.count - len(held))]
        found += [MachineUse(_name(machine, number), tuple(row)) for number, row in enumerate(held, 1)]
    return found


def _one_after_another(tasks: Sequence[Task]) -> list[list[Task]]:
    """Return the tasks in as few rows as there are of them at one time; none overlaps another of its row."""
    rows: list[list[Task]] = []
    for task in tasks:
        free = next((row for row in rows if row[-1].planned_end_at <= task.planned_start_at), None)  # type: ignore[operator]
        if free is None:
            rows.append([task])
        else:
            free.append(task)
    return rows


def _name(machine: Machine, number: int) -> str:
    if number > machine.count:
        return f"{machine.name} {number}, which is not there"
    return machine.name if machine.count == 1 else f"{machine.name} {number}"
