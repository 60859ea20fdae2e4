"""Whatever the plan is made from asks for a new one when it changes: one deed after another in one house."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import Any

from django.urls import reverse
from django.utils import timezone

from costing.rules.revising import Revision
from tests.workshop.desk import made
from tests.workshop.orders import house as built
from workshop.jobs.models import Job
from workshop.orders import services
from workshop.orders.models import Parcel
from workshop.orders.queries.buying import cloth_to_buy
from workshop.planning import services as planning
from workshop.planning.services import sync_tasks

Deed = Callable[[], Any]


def as_shown(browser, address: str) -> dict[str, Any]:
    form = browser.get(address).context["form"]
    values = {field.html_name: field.value() for field in form}
    return {name: value for name, value in values.items() if value is not None and value is not False}


def pages(house, owner) -> Iterator[tuple[str, Deed]]:
    """Pages of the rooms that know of no plan themselves, and of machines."""
    day = str(house.workshop.day_of(timezone.now()) + timedelta(days=20))

    def sent(name: str, changes: dict[str, Any], *keys: int) -> Deed:
        address = reverse(name, args=keys)
        return lambda: owner.post(address, {**as_shown(owner, address), **changes})

    def posted(name: str, values: dict[str, Any], *keys: int) -> Deed:
        return lambda: owner.post(reverse(name, args=keys), values)

    yield "days to come of the workshop", sent("desk:settings", {"days_to_come": "9"})
    yield "days to come of a cloth", sent("desk:cloth", {"days_to_come": "12"}, house.satin.pk)
    text = f"name,days_to_come\n{house.satin.name},14\n"
    yield "prices taken in", posted("desk:take-prices", {"kind": "cloths", "text": text})
    yield "closed days", posted("desk:close-days", {"from_on": day, "to_on": day, "reason": "fair"})
    closure = house.workshop.closures.get().pk
    yield "open again", posted("desk:reopen-days", {}, closure)
    yield "somebody's hours", sent("desk:edit-staff", {"times-1": "9-13"}, house.apprentice.pk)
    machine = {"name": "overlocker", "count": "1", "groups": ["finish"]}
    yield "a machine", posted("desk:machines", machine)
    kept = house.workshop.machines.get().pk
    yield "more of a machine", sent("desk:machine", {"count": "2"}, kept)
    yield "a machine gone", posted("desk:drop-machine", {}, kept)
    yield "a plan that is wished", posted("desk:replan", {})


def deeds(house, garment, order) -> Iterator[tuple[str, Deed]]:
    """Services of orders and planning, which ask themselves."""
    now, who = timezone.now(), {"by": house.owner, "now": timezone.now()}
    today = house.workshop.day_of(now)

    def edited(order) -> Any:
        kept = {"occasion": order.occasion, "note": order.note, "expected_version": order.version}
        return services.edit_order(order=order, due_on=order.due_on + timedelta(days=2), **kept, **who)

    def of_satin() -> dict[str, Any]:
        line = cloth_to_buy(house.workshop, house.satin)
        return {"workshop": house.workshop, "cloth": house.satin, "shown_mm": line.amount, **who}

    sync_tasks(garment=garment, now=now)
    task = garment.tasks.order_by("position").first()
    yield "another day of delivery", lambda: edited(order)
    yield (
        "another list of operations",
        lambda: services.revise_operations(
            garment=garment,
            draft_id=garment.drafts.get(superseded_at=None).pk,
            expected_version=0,
            revision=Revision(minutes={task.operations[0]["name"]: 55.0}),
            reason="slippery",
            **who,
        ),
    )
    yield "cloth ordered", lambda: services.order_listed_cloth(**of_satin(), expected_on=None)
    parcel = Parcel.objects.get()
    yield "cloth later", lambda: services.expect_parcel(parcel=parcel, expected_on=today, **who)
    yield "cloth given up", lambda: services.give_up_parcel(parcel=parcel, **who)
    yield "cloth bought", lambda: services.buy_listed_cloth(**of_satin())
    chosen = {"task": task, "staff": house.owner, "starts_at": made.at_noon(3)}
    yield "a task pinned", lambda: planning.pin_task(**chosen, **who)
    yield "a task released", lambda: planning.unpin_task(task=task, **who)
    yield "a fitting booked", lambda: made.book(house, garment)
    fitting = garment.fittings.get()
    yield "a fitting cancelled", lambda: planning.cancel_fitting(fitting=fitting, **who)
    yield "an order cancelled", lambda: services.cancel_order(order=order, reason="moved away", **who)


def test_all_that_the_plan_is_made_from_asks_for_a_new_one(house, owner):
    order = made.accepted(house).order
    garment = built.garment_of(order)
    silent = []

    for turn in (pages(house, owner), deeds(house, garment, order)):
        for name, deed in turn:
            Job.objects.all().delete()
            deed()
            order.refresh_from_db()
            asked = Job.objects.filter(workshop=house.workshop, kind="refresh_plan", key="plan").count()
            silent += [] if asked == 1 else [name]

    assert silent == []
