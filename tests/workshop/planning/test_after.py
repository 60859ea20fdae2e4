"""A garment as it was reckoned, beside what it took."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from costing.queries import rates_of, stock_of
from costing.rules.learning import Correction
from costing.rules.money import rounded
from costing.services import keep_learnt
from tests.workshop import factories
from workshop.errors import REFUSALS, Refusal
from workshop.orders import services as orders
from workshop.orders.queries import current_estimate, cut_lengths
from workshop.planning.models import Task
from workshop.planning.queries import after_of
from workshop.planning.services import finish_task, start_task, stop_task
from workshop.planning.services.garment_tasks import add_task

NOW = factories.NOW


@pytest.fixture
def house(db, settings):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    return factories.make_house()


@pytest.fixture
def sewn(house):
    """A garment that was cut, at the stage of sewing, its tasks listed."""
    return factories.garment_to_sew(house)


def time(house, task: Task, minutes: float, *, done: bool = True) -> None:
    start_task(task=task, staff=house.apprentice, now=NOW)
    stop_task(task=task, staff=house.apprentice, now=NOW + timedelta(minutes=minutes), done=done)


def after(garment):
    return after_of(garment, rates_of(garment.workshop))


def first(garment, group: str = "sew") -> Task:
    return Task.objects.filter(garment=garment, group=group).order_by("position").first()


def test_after_of_is_none_before_anything_is_timed(sewn):
    assert after(sewn) is None


def test_after_of_compares_minutes_by_group_and_reckons_the_price_they_needed(house, sewn):
    task = first(sewn)
    time(house, task, task.minutes_planned + 90)
    estimate = current_estimate(sewn)

    found = after(sewn)

    sewing = next(group for group in found.groups if group.title == "sew")
    assert sewing.spent == task.minutes_planned + 90
    assert sewing.beyond == 90
    # 15 an hour and 4 of overhead, as the estimate had them.
    assert found.taken.cost - found.reckoned.cost == rounded(Decimal("1.5") * 19, "EUR")
    assert found.taken.net == found.reckoned.net == Decimal(estimate.content["net"])
    assert found.needed.total > found.reckoned.total
    assert found.needed.profit > found.taken.profit
    assert found.is_over
    assert not found.is_done


def test_after_of_tells_which_operations_most_likely_ran_over(house, sewn):
    task = first(sewn)
    time(house, task, task.minutes_planned + 90)
    kinds = {step["kind"]: 0.0 for step in task.operations}
    slow = next(step["kind"] for step in task.operations if step["kind"] != "press")
    keep_learnt(
        workshop=sewn.workshop,
        corrections={kind: Correction(0.4 if kind == slow else 0.0, 0.01, 3) for kind in kinds},
        tasks=3,
        now=NOW,
    )

    (over,) = after(sewn).over

    assert (over.title, over.spent - over.planned) == (task.title, 90)
    assert over.steps[0].is_suspect
    assert {step.name for step in over.steps if step.is_suspect} == {
        step["name"] for step in task.operations if step["kind"] == slow
    }


def test_after_of_sets_the_cloth_beside_what_was_charged_though_a_guess_was(house, sewn):
    """An estimate that was quoted before the lay charged 30 cm more than the lay has one buy."""
    time(house, first(sewn), first(sewn).minutes_planned)
    estimate = current_estimate(sewn)
    line = next(line for line in estimate.content["lines"] if line.get("ref") == str(house.satin.pk))
    line["quantity"] = str(Decimal(line["quantity"]) + Decimal("0.3"))
    estimate.save(update_fields=["content"])

    found = after(sewn)

    assert [cloth.beyond for cloth in found.cloths if cloth.cloth_id == house.satin.pk] == pytest.approx(
        [-300],
        abs=0.5,  # a line is exact to the mm
    )
    assert found.taken.cost - found.reckoned.cost == Decimal("-7.20")


def test_after_of_what_went_as_reckoned_needs_the_price_that_was_reckoned(house, sewn):
    task = first(sewn)
    time(house, task, task.minutes_planned)

    found = after(sewn)

    assert found.needed == found.taken == found.reckoned
    assert not found.is_over


def test_after_of_counts_a_task_that_nobody_timed_as_reckoned(house, sewn):
    time(house, first(sewn, "prepare"), first(sewn, "prepare").minutes_planned)
    finish_task(task=first(sewn), staff=house.apprentice, now=NOW)

    found = after(sewn)

    sewing = next(group for group in found.groups if group.title == "sew")
    assert (sewing.untimed, sewing.beyond) == (1, 0)
    assert found.taken.cost == found.reckoned.cost


def test_after_of_adds_an_alteration_whole(house, sewn):
    task = add_task(garment=sewn, group="alter", title="Take in", minutes=30, steps=[])
    time(house, task, 40)

    found = after(sewn)

    assert [group.beyond for group in found.groups if group.title == "alter"] == [40]


def test_after_of_takes_as_many_queries_with_one_timed_task_as_with_all(
    house, sewn, django_assert_num_queries
):
    rates = rates_of(sewn.workshop)
    for task in [None, *Task.objects.filter(garment=sewn).order_by("position")]:
        if task is None:
            time(house, first(sewn), 5, done=False)
        elif task.done_at is None:
            time(house, task, 5)
        with django_assert_num_queries(7):
            assert after_of(sewn, rates) is not None


def test_note_cut_length_moves_the_stock_and_the_cost(house, sewn):
    time(house, first(sewn), first(sewn).minutes_planned)
    laid = cut_lengths(sewn.pk)[house.satin.pk]
    on_shelf = stock_of([house.satin.pk])[house.satin.pk].on_shelf

    more = note(house, sewn, laid + 500)
    again = note(house, sewn, laid + 500)
    dearer = after(sewn)
    less = note(house, sewn, laid - 250)
    cheaper = after(sewn)

    assert (more, again, less) == pytest.approx((500, 0, -750))
    assert [cloth.beyond for cloth in dearer.cloths if cloth.cloth_id == house.satin.pk] == pytest.approx(
        [500]
    )
    assert dearer.taken.cost - dearer.reckoned.cost == Decimal("12.00")
    assert cheaper.taken.cost - cheaper.reckoned.cost == Decimal("-6.00")
    assert stock_of([house.satin.pk])[house.satin.pk].on_shelf == pytest.approx(on_shelf + 250)


def note(house, garment, length_mm: float) -> float:
    return orders.note_cut_length(
        garment=garment, cloth=house.satin, length_mm=length_mm, by=house.owner, now=NOW
    )


@pytest.mark.parametrize("length", [0.0, -1.0, float("nan"), float("inf"), 2e6, 500_000.0])
def test_note_cut_length_refuses_what_was_never_cut(length, house, sewn):
    before = cut_lengths(sewn.pk)

    with pytest.raises(REFUSALS):
        note(house, sewn, length)

    assert cut_lengths(sewn.pk) == before


def test_note_cut_length_waits_for_cutting_and_for_the_owner(house, sewn):
    waiting = factories.measured_garment(house)

    with pytest.raises(Refusal, match=r"^No Grey satin was cut for Grey dress yet"):
        note(house, waiting, 1000.0)
    with pytest.raises(Refusal):
        orders.note_cut_length(
            garment=sewn, cloth=house.satin, length_mm=1000.0, by=house.apprentice, now=NOW
        )
