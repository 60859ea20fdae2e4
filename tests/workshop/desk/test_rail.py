"""The rail says of a garment what its own page says."""

from __future__ import annotations

from datetime import timedelta

from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests.workshop.desk import made
from workshop.planning.models import Fitting, LateRisk


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


def test_a_ticket_shows_the_drawing_of_its_draft_once_there_is_one(house, owner):
    draft = made.drafted(house)
    made.take(house)

    page = owner.get(reverse("desk:rail"))

    drawn = [ticket.draft_id for day in page.context["days"] for ticket in day.tickets]
    assert sorted(drawn, key=str) == [draft.pk, None]
    assert page.text.count("<img") == 1
    assert reverse("desk:draft-picture", args=[draft.pk]) in page.text


def test_rail_takes_as_many_queries_for_three_drafted_garments_as_for_one(house, owner):
    def queries() -> int:
        with CaptureQueriesContext(connection) as taken:
            owner.get(reverse("desk:rail"))
        return len(taken)

    made.drafted(house)
    one = queries()
    for _ in range(2):
        made.drafted(house)

    assert queries() == one


def test_a_drafts_picture_is_an_image_that_the_browser_keeps(house, owner, next_door):
    answer = owner.get(reverse("desk:draft-picture", args=[made.drafted(house).pk]))

    assert answer["Content-Type"] == "image/svg+xml"
    assert answer["Cache-Control"] == "private, max-age=86400"
    assert answer.text.startswith("<svg")
    assert owner.get(reverse("desk:draft-picture", args=[made.drafted(next_door).pk])).status_code == 404


def test_a_ticket_tells_the_late_risk_and_the_rail_warns_on_the_day_that_it_turns(house, owner):
    garment = made.to_cut(house)
    today = house.workshop.day_of(timezone.now())
    risk = LateRisk.objects.create(garment=garment, percent=31, turned_on=today, reckoned_at=timezone.now())

    page = owner.get(reverse("desk:rail"))
    [ticket] = [ticket for day in page.context["days"] for ticket in day.tickets]
    warned = [item for item in page.context["waiting"] if "turned today" in item.words]
    risk.turned_on = today - timedelta(days=1)
    risk.save()
    day_after = owner.get(reverse("desk:rail"))

    assert ticket.risk_words == "at risk of being late (31 %)"
    assert "At risk of being late (31 %)" in page.text
    assert [item.address for item in warned] == [reverse("desk:garment", args=[garment.pk])]
    assert "turned today" not in day_after.text
    assert "At risk of being late (31 %)" in day_after.text


def test_what_is_past_its_day_is_late_and_not_at_risk(house, owner):
    garment = made.to_cut(house)
    now = timezone.now()
    LateRisk.objects.create(
        garment=garment, percent=100, turned_on=house.workshop.day_of(now), reckoned_at=now
    )
    type(garment.order).objects.filter(pk=garment.order_id).update(due_on=now - timedelta(days=3))

    page = owner.get(reverse("desk:rail"))
    [ticket] = [ticket for day in page.context["days"] for ticket in day.tickets]

    assert (ticket.late, ticket.risk_words) == (True, "")
    assert "of being late" not in page.text
    assert "ikely late" not in page.text
