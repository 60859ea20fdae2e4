"""What blocks what: the work that waits for cloth, a fitting, an answer."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from workshop.orders.models import Garment
from workshop.orders.queries import facts_of
from workshop.orders.rules.blocks import Block, blocks
from workshop.people.models import Workshop
from workshop.planning.queries.week import open_garments
from workshop.planning.rules.joining import waits_for_fitting


@dataclass(frozen=True, slots=True)
class Blocked:
    """A garment that waits: for what, and the open tasks that it holds back, with their minutes."""

    garment: Garment
    waits_for: str
    tasks: tuple[str, ...]
    minutes: int


def blocked(workshop: Workshop, now: datetime) -> list[Blocked]:
    """Return what each open garment waits for, due first, in a fixed number of queries."""
    garments = list(
        open_garments(workshop)
        .select_related("workshop", "order__workshop", "wearer")
        .order_by("order__due_on", "order__number", "position", "pk")
    )
    facts = facts_of(garments, now=now)
    return [_blocked(garment, block) for garment in garments for block in blocks(facts[garment.pk])]


def _blocked(garment: Garment, block: Block) -> Blocked:
    held = sorted(
        (
            task
            for task in garment.tasks.all()  # fetched with the facts
            if task.done_at is None and (waits_for_fitting(task.position) or not block.after_fitting)
        ),
        key=lambda task: task.position,
    )
    return Blocked(
        garment, block.words, tuple(task.title for task in held), sum(task.minutes_planned for task in held)
    )
