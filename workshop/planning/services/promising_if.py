"""The day that could be promised for a garment if it were made another way. Writes nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from costing.rules.labour import Operation
from workshop.orders.models import Draft, Garment
from workshop.orders.queries import operations_of, pattern_of
from workshop.planning.rules.problem import Order as Asked
from workshop.planning.rules.promise import odds_words, promise
from workshop.planning.services.beside import NOT_BEGUN, answered, day_after, minute_before, others_than
from workshop.planning.services.floor import Floor, Floors, order_of


@dataclass(frozen=True, slots=True)
class PromiseIf:
    """The first day that is kept nine times out of ten, and how often the wished one is, 0 to 1."""

    likely_on: date
    wished_on: date
    chance: float

    @property
    def odds(self) -> str:
        """The chance in words."""
        return odds_words(self.chance)


def promise_if(
    *, garment: Garment, operations: Sequence[Operation], quantity: int, wished_on: date, floors: Floors
) -> PromiseIf | None:
    """Return the day for ``quantity`` of a garment by an operation list, with the rest of its order.

    ``floors`` are those of the garment's workshop, which several ways may share. The other work stays as the
    present plan has it. None once the garment is begun: what is done of it is not done another way.

    Raises: CannotPlanWorkshop: it fits in nobody's hours.
    """
    begun = garment.tasks.filter(started_at__isnull=False).exists()
    if begun or garment.stage not in NOT_BEGUN:
        return None
    return answered(
        floors,
        lambda floor: _promised(
            floor, garment, operations, quantity=quantity, wished_on=wished_on, now=floors.now
        ),
    )


def _promised(
    floor: Floor,
    garment: Garment,
    operations: Sequence[Operation],
    *,
    quantity: int,
    wished_on: date,
    now: datetime,
) -> PromiseIf:
    others, workshop = others_than(floor, garment.order_id), garment.workshop
    one = order_of(floor, garment, operations, now)
    alike = [replace(one, name=f"{one.name}-{number}") for number in range(quantity)]
    made = promise(others.problem, others.places, [*_rest_of_order(floor, garment, now), *alike])
    kept = made.kept(minute_before(floor, workshop, wished_on))
    return PromiseIf(day_after(floor, workshop, made.likely, wished_on), wished_on, kept)


def _rest_of_order(floor: Floor, garment: Garment, now: datetime) -> Iterator[Asked]:
    """The other garments of the order: as their tasks are listed, else from their drafts."""
    listed = set()
    for row, order in zip(floor.garments, floor.problem.orders, strict=True):
        if row.order_id == garment.order_id and row.pk != garment.pk:
            listed.add(row.pk)
            yield order
    drafts = Draft.objects.filter(
        garment__order=garment.order_id, garment__stage__in=NOT_BEGUN, superseded_at=None
    ).exclude(garment__in=[*listed, garment.pk])
    for draft in drafts.select_related("garment__workshop").order_by("garment__position"):
        yield order_of(floor, draft.garment, operations_of(draft.garment, pattern_of(draft)).operations, now)
