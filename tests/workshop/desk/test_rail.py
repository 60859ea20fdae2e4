"""The rail says of a garment what its own page says."""

from __future__ import annotations

from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from tests.workshop.desk import made
from workshop.planning.models import Fitting


def test_rail_needs_what_the_garments_page_needs_after_a_fitting_was_held(house, owner):
    garment = made.to_cut(house)
    garment.stage = "fit"
    garment.save(update_fields=["stage"])
    garment.tasks.update(done_at=timezone.now())
    start = timezone.now() + timedelta(minutes=1)
    Fitting.objects.create(
        workshop=house.workshop,
        garment=garment,
        fitter=house.owner,
        starts_at=start,
        ends_at=start + timedelta(minutes=45),
        held_at=start,
        outcome="fits",
        created_at=timezone.now(),
    )

    [day] = owner.get(reverse("desk:rail")).context["days"]
    page = owner.get(reverse("desk:garment", args=[garment.pk]))

    assert [ticket.next_need for ticket in day.tickets] == [page.context["need"]]
    assert "fitting" not in page.context["need"].lower()


def test_rail_puts_each_garment_under_its_day(house, owner):
    today = house.workshop.day_of(timezone.now())
    order = made.take(house, due_on=today)
    made.take(house, due_on=today + timedelta(days=1))
    made.take(house, due_on=today + timedelta(days=2))
    order.due_on = today - timedelta(days=3)
    order.save(update_fields=["due_on"])

    days = owner.get(reverse("desk:rail")).context["days"]

    third = today + timedelta(days=2)
    assert [day.title for day in days] == ["Past its day", "Tomorrow", f"{third:%A}"]
    assert days[0].tickets[0].late is True


def test_rail_leaves_out_a_cancelled_order_and_another_workshop(house, owner, next_door):
    order = made.take(house)
    made.take(next_door)
    owner.post(reverse("desk:cancel-order", args=[order.number]), {"reason": "no wedding"})

    assert owner.get(reverse("desk:rail")).context["days"] == []
