"""Rush and discount of an order, and prices that rest on what timed work taught."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from costing.models import Rates
from tests.workshop.desk import made
from tests.workshop.orders import house as built
from workshop.orders.models import Garment, Order
from workshop.orders.queries import current_estimate
from workshop.planning.models import Task, TimeEntry
from workshop.planning.services import finish_task, start_task, sync_tasks


@pytest.fixture
def garment(house, owner) -> Garment:
    row = made.drafted(house).garment
    built.set_prices(house)
    owner.post(reverse("desk:estimate", args=[row.pk]))
    return row


def lines(garment: Garment) -> dict[str, Decimal]:
    return {line["kind"]: Decimal(line["amount"]) for line in current_estimate(garment).content["lines"]}


def send(owner, garment: Garment, **changes):
    version = Order.objects.get(pk=garment.order_id).version
    sent = {"rush_percent": "20", "discount_percent": "5", "expected_version": version, **changes}
    return owner.post(reverse("desk:terms", args=[garment.pk]), sent)


def test_rush_and_discount_are_lines_of_every_garments_price(owner, garment):
    before = current_estimate(garment)

    answer = send(owner, garment)

    assert answer.url == reverse("desk:estimate", args=[garment.pk])
    cost, profit = Decimal(before.content["cost"]), lines(garment)["profit"]
    assert lines(garment)["rush"] == round((cost + profit) * Decimal("0.2"), 2)
    assert lines(garment)["discount"] == -round((cost + profit) * Decimal("1.2") * Decimal("0.05"), 2)
    assert "20.0% of" in owner.get(answer.url).text


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"rush_percent": "-1"}, "rush_percent"),
        ({"rush_percent": "NaN"}, "rush_percent"),
        ({"rush_percent": "101"}, "rush_percent"),
        ({"rush_percent": ""}, "rush_percent"),
        ({"discount_percent": "1e9"}, "discount_percent"),
        ({"discount_percent": "a fifth"}, "discount_percent"),
        ({"expected_version": "x"}, "__all__"),
    ],
)
def test_terms_refuse_what_is_no_share(changes, field, owner, garment):
    answer = send(owner, garment, **changes)

    assert answer.status_code == 200
    assert field in made.faults(answer)
    assert Order.objects.get().rush_percent == 0


def test_the_second_of_two_who_set_terms_is_told(owner, garment):
    version = Order.objects.get().version
    send(owner, garment)

    answer = send(owner, garment, rush_percent="40", expected_version=version)

    assert "Somebody else changed this" in answer.text
    assert Order.objects.get().rush_percent == 20


def test_a_discount_of_everything_says_what_it_costs(owner, garment):
    send(owner, garment, discount_percent="100", rush_percent="0")

    assert "below what the garment costs you" in owner.get(reverse("desk:estimate", args=[garment.pk])).text


def time_zip(house, run_jobs) -> None:
    """Another garment's sewing after the fitting, in which its zip is, timed at twice the standard."""
    other = made.to_cut(house)
    Garment.objects.filter(pk=other.pk).update(stage="fit")
    task = Task.objects.filter(garment=other, position=13).get()
    now = timezone.now()
    start_task(task=task, staff=house.owner, now=now - timedelta(minutes=2 * task.minutes_planned))
    finish_task(task=task, staff=house.owner, now=now)
    run_jobs()


def test_prices_rest_on_learnt_minutes_once_the_owner_lets_them(house, owner, garment, run_jobs):
    standard = current_estimate(garment)
    time_zip(house, run_jobs)
    owner.post(reverse("desk:estimate", args=[garment.pk]))
    assert current_estimate(garment).minutes == standard.minutes

    Rates.objects.update(prices_on_learnt=True)
    answer = owner.post(reverse("desk:estimate", args=[garment.pk]), follow=True)

    learnt = current_estimate(garment)
    assert learnt.minutes > standard.minutes
    steps = {step["name"]: step for step in learnt.content["operations"]}
    before = {step["name"]: step["minutes"] for step in standard.content["operations"]}
    assert steps["Put in the zip, centre back"]["minutes"] > before["Put in the zip, centre back"]
    assert "by 1 timed task" in steps["Put in the zip, centre back"]["why"]
    assert "by 1 timed task" in answer.text
    # The list that is sewn and planned by stays on the standard, so that it is not corrected twice.
    sync_tasks(garment=garment, now=timezone.now())
    planned = {
        s["name"]: s["minutes"] for task in Task.objects.filter(garment=garment) for s in task.operations
    }
    assert planned["Put in the zip, centre back"] == pytest.approx(
        before["Put in the zip, centre back"], abs=0.01
    )


def test_learnt_page_lists_operations_and_workers(house, owner, run_jobs):
    address = reverse("desk:learnt")
    assert "Nothing was timed to its end yet" in owner.get(address).text
    built.set_prices(house)
    time_zip(house, run_jobs)

    answer = owner.get(address)

    assert {row.title for row in answer.context["book"].kinds} >= {"zip", "press"}
    for words in ("By operation", "By worker", f"{house.owner.name}, sew", "Prices rest on the standard."):
        assert words in answer.text


def test_learnt_page_asks_the_same_questions_at_one_timed_task_and_at_three(house, owner):
    built.set_prices(house)
    other = made.to_cut(house)
    now, counts = timezone.now(), []
    for number, task in enumerate(Task.objects.filter(garment=other).order_by("position")[:3]):
        began = now - timedelta(days=number + 1)
        ended_at = began + timedelta(minutes=task.minutes_planned)
        TimeEntry.objects.create(
            workshop=house.workshop, task=task, staff=house.owner, started_at=began, ended_at=ended_at
        )
        Task.objects.filter(pk=task.pk).update(done_at=now)
        with CaptureQueriesContext(connection) as asked:
            owner.get(reverse("desk:learnt"))
        counts.append(len(asked))

    assert counts[0] == counts[2]


def test_a_garment_is_taxed_by_another_rate_from_its_page_of_terms(house, owner, garment):
    terms = reverse("desk:terms", args=[garment.pk])
    assert "Tax of" not in owner.get(terms).text
    added = owner.post(reverse("desk:add-tax-rate"), {"name": "children's clothes", "percent": "6"})
    rate = house.workshop.tax_rates.get()
    version = Garment.objects.get(pk=garment.pk).version
    assert added.url == reverse("desk:settings")
    assert "check your local rules" in owner.get(terms).text

    choose = reverse("desk:choose-tax-rate", args=[garment.pk])
    answer = owner.post(choose, {"tax_rate": rate.pk, "expected_version": version})
    late = owner.post(choose, {"tax_rate": "", "expected_version": version})
    unknown = owner.post(choose, {"tax_rate": "999999", "expected_version": version + 1})

    assert answer.url == reverse("desk:estimate", args=[garment.pk])
    assert "6 %" in owner.get(answer.url).text
    assert late.context["tax_form"].meanwhile == [("Tax rate", "children's clothes, 6 %")]
    assert set(unknown.context["tax_form"].errors) == {"tax_rate"}
    assert Garment.objects.get(pk=garment.pk).tax_rate == rate


@pytest.mark.parametrize("sent", [{"name": "", "percent": "6"}, {"name": "repairs", "percent": "100"}])
def test_another_rate_is_refused_in_words(house, owner, sent):
    answer = owner.post(reverse("desk:add-tax-rate"), sent)

    assert answer.status_code == 200
    assert answer.context["tax_rate_form"].errors
    assert not house.workshop.tax_rates.exists()
