"""What the last plans moved, in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from workshop.people.models import LogEntry, Staff, Workshop
from workshop.planning.models import Task
from workshop.planning.rules.moves import Cause

REPLAN = "replan"
"""The action under which the log notes a new plan."""

SHOWN = 40


@dataclass(frozen=True, slots=True)
class Moved:
    """A task that a plan moved, and the sentence that says so."""

    garment_id: int
    words: str


@dataclass(frozen=True, slots=True)
class PlanMoves:
    """What one plan moved; ``left_out`` is how many more than are told."""

    at: datetime
    moved: tuple[Moved, ...]
    left_out: int


def last_moves(workshop: Workshop, now: datetime, *, days: int = 3, most: int = 3) -> list[PlanMoves]:
    """Return what the last plans of these days moved, the newest first, in a fixed number of queries."""
    entries = LogEntry.objects.filter(
        workshop=workshop, action=REPLAN, at__gt=now - timedelta(days=days), after__moved__0__isnull=False
    ).order_by("-at", "-pk")[:most]
    # Entries from before moves were told by their cause hold bare keys.
    found = [
        (entry.at, [row for row in (entry.after or {}).get("moved", ()) if isinstance(row, dict)])
        for entry in entries
    ]
    told = _told(workshop, [row for _, rows in found for row in rows[:SHOWN]])
    return [
        PlanMoves(
            at,
            tuple(told[row["task"]] for row in rows[:SHOWN] if row["task"] in told),
            max(0, len(rows) - SHOWN),
        )
        for at, rows in found
        if rows
    ]


def move_words(workshop: Workshop, rows: Sequence[Mapping[str, Any]]) -> list[str]:
    """Return the sentences of moves as the log notes them, in two queries."""
    told = _told(workshop, rows)
    return [told[row["task"]].words for row in rows if row["task"] in told]


def _told(workshop: Workshop, rows: Iterable[Mapping[str, Any]]) -> dict[int, Moved]:
    rows = list(rows)
    keys = {row["task"] for row in rows} | {row["other"] for row in rows if row["other"]}
    tasks = Task.objects.filter(workshop=workshop, pk__in=keys).select_related("garment").order_by("pk")
    teller = _Teller(workshop, {task.pk: task for task in tasks})
    return {
        row["task"]: Moved(teller.tasks[row["task"]].garment_id, teller.sentence(row))
        for row in rows
        if row["task"] in teller.tasks
    }


class _Teller:
    """Puts moves into sentences, with the names of the workshop."""

    def __init__(self, workshop: Workshop, tasks: Mapping[int, Task]) -> None:
        self.workshop, self.tasks = workshop, tasks
        self.names = dict(Staff.objects.filter(workshop=workshop).values_list("pk", "name"))

    def sentence(self, row: Mapping[str, Any]) -> str:
        task = self.tasks[row["task"]]
        change = self._change(row["from"], row["to"])
        return f"'{task.title}' of {task.garment.title} moved {change}, because {self._because(row)}."

    def _change(self, before: Sequence[Any], after: Sequence[Any]) -> str:
        (who, when), (then_who, then_when) = before, after
        times = f"from {self._time(when)} to {self._time(then_when)}"
        if who == then_who:
            return times
        people = f"from {self._name(who)} to {self._name(then_who)}"
        return people if self._day(when) == self._day(then_when) else f"{people}, {times}"

    def _because(self, row: Mapping[str, Any]) -> str:
        who = self._name(row["from"][0])
        other = self.tasks.get(row["other"] or 0)
        task = self.tasks[row["task"]]
        reasons = {
            Cause.SKILL: f"{who} does not do that work",
            Cause.PAST: "it was not begun in its time",
            Cause.HOURS: f"{who} is not there then",
            Cause.RELEASE: "it waits for cloth or for a fitting until then",
            Cause.BEFORE: f"{self._called(other, task)} before it ends later",
            Cause.TAKEN: f"{who} has {self._called(other, task)} to do then",
            Cause.MACHINE: f"{self._called(other, task)} has the machine then",
            Cause.SOONER: "it can be done sooner",
            Cause.BALANCE: "less is late so",
        }
        return reasons[Cause(row["cause"])]

    def _called(self, other: Task | None, task: Task) -> str:
        if other is None:
            return "other work"
        return f"'{other.title}'" + (
            "" if other.garment_id == task.garment_id else f" of {other.garment.title}"
        )

    def _name(self, pk: int | None) -> str:
        return self.names.get(pk or 0, "somebody who left")

    def _local(self, moment: str) -> datetime:
        return datetime.fromisoformat(moment).astimezone(self.workshop.zone)

    def _day(self, moment: str) -> object:
        return self._local(moment).date()

    def _time(self, moment: str) -> str:
        at = self._local(moment)
        return f"{at:%a} {at.day} {at:%b %H:%M}"
