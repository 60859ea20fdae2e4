"""The owner looks through a garment's operation list and changes it."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from costing.models import Estimate
from costing.rules.revising import Revision
from tests.workshop.desk import made
from tests.workshop.orders import house as built
from workshop.orders import queries
from workshop.orders.models import Garment, OperationsRevision
from workshop.planning import services as planning
from workshop.planning.models import Task


@pytest.fixture
def garment(house, owner) -> Garment:
    row = made.drafted(house).garment
    built.set_prices(house)
    owner.post(reverse("desk:estimate", args=[row.pk]))
    return row


def address(garment: Garment) -> str:
    return reverse("desk:operations", args=[garment.pk])


def page(owner, garment: Garment) -> Any:
    return owner.get(address(garment)).context["form"]


def rows(form: Any) -> dict[str, Any]:
    return {row.operation.name: row for _, group in form.phases() for row in group}


def as_shown(form: Any) -> dict[str, Any]:
    """What the page sends where nothing is changed."""
    return {
        bound.html_name: bound.value()
        for bound in form
        if bound.value() not in (None, "") and bound.value() is not False and bound.name[:5] != "added"
    }


def send(owner, garment: Garment, changes: dict[str, Any], *, reason: str = "as we do it"):
    form = page(owner, garment)
    return owner.post(address(garment), {**as_shown(form), "reason": reason, **changes})


def names(garment: Garment) -> list[str]:
    pattern = queries.pattern_of(queries.current_draft(garment))
    return [operation.name for operation in queries.operations_of(garment, pattern).operations]


def first_sewn(owner, garment: Garment) -> Any:
    """The first row of a seam that is joined, and the one that follows it."""
    listed = next(group for title, group in page(owner, garment).phases() if title == "Join")
    return listed[0], listed[1]


def test_list_is_shown_in_the_phases_of_making_with_where_each_minute_comes_from(owner, garment):
    answer = owner.get(address(garment))

    titles = [title for title, _ in answer.context["form"].phases()]
    assert (titles[0], titles[-1]) == ("Cut", "Finish")
    for words in ("handling", "allowance 15%", "stitch 301", "seam class 1", "As reckoned"):
        assert words in answer.text


def test_minutes_that_the_owner_sets_are_priced_planned_and_sewn_by(house, owner, garment):
    before = queries.current_estimate(garment)
    row, _ = first_sewn(owner, garment)
    name = row.operation.name

    answer = send(owner, garment, {row.minutes.html_name: "90"}, reason="silk slips")

    assert answer.url == address(garment)
    after = queries.current_estimate(garment)
    assert after.minutes == pytest.approx(before.minutes + 90 - row.operation.minutes, abs=2)
    steps = {step["name"]: step for step in after.content["operations"]}
    assert (steps[name]["minutes"], steps[name]["why"][:19]) == (90.0, "set by the workshop")
    planning.sync_tasks(garment=garment, now=made.timezone.now())
    tasks = Task.objects.filter(garment=garment)
    assert next(s["minutes"] for task in tasks for s in task.operations if s["name"] == name) == 90.0
    kept = OperationsRevision.objects.get(garment=garment)
    assert (kept.version, kept.reason, kept.by) == (1, "silk slips", house.owner)
    assert f"{name}: {row.operation.minutes:.1f} to 90.0 min" in kept.summary
    assert "silk slips" in owner.get(address(garment)).text


def test_estimate_and_tasks_are_of_one_list(house, owner, garment):
    """The planner once took the standard allowance where the price took the workshop's own."""
    planning.sync_tasks(garment=garment, now=made.timezone.now())

    priced = {
        step["name"]: step["minutes"] for step in queries.current_estimate(garment).content["operations"]
    }
    planned = {
        s["name"]: s["minutes"] for task in Task.objects.filter(garment=garment) for s in task.operations
    }

    assert set(priced) - set(planned) == {"Try on, pin and mark"}
    assert all(priced[name] == pytest.approx(minutes, abs=0.006) for name, minutes in planned.items())


def test_an_operation_moves_inside_its_phase(owner, garment):
    first, second = first_sewn(owner, garment)

    send(owner, garment, {second.place.html_name: "1"})

    listed = names(garment)
    assert listed.index(second.operation.name) + 1 == listed.index(first.operation.name)


def test_an_operation_moves_down_behind_the_one_whose_place_it_takes(owner, garment):
    first, second = first_sewn(owner, garment)

    send(owner, garment, {first.place.html_name: "2"})

    listed = names(garment)
    assert listed.index(second.operation.name) + 1 == listed.index(first.operation.name)


def test_an_operation_is_added_and_taken_off_again_and_one_of_the_draft_put_back(owner, garment):
    trim = rows(page(owner, garment))["Look it over"]
    added = {
        "added_name": "Sew on the ribbon",
        "added_group": "finish",
        "added_phase": 8,
        "added_minutes": "25",
    }
    send(owner, garment, {**added, trim.removed.html_name: "on"})
    assert names(garment)[-1] == "Sew on the ribbon"
    assert "Look it over" not in names(garment)

    form = page(owner, garment)
    ribbon, (back,) = rows(form)["Sew on the ribbon"], form.taken_off()
    send(owner, garment, {ribbon.removed.html_name: "on", back.html_name: "on"})

    assert names(garment)[-1] == "Look it over"
    assert "Sew on the ribbon" not in names(garment)
    assert page(owner, garment).taken_off() == []


def test_minutes_left_empty_go_back_to_what_is_reckoned(owner, garment):
    row, _ = first_sewn(owner, garment)
    send(owner, garment, {row.minutes.html_name: "90"})
    assert rows(page(owner, garment))[row.operation.name].operation.minutes == 90

    send(owner, garment, {row.minutes.html_name: ""})

    assert rows(page(owner, garment))[row.operation.name].operation.minutes == row.operation.minutes


def test_an_earlier_version_holds_again_as_a_new_one(house, owner, garment):
    row, _ = first_sewn(owner, garment)
    for minutes in ("90", "60"):
        send(owner, garment, {row.minutes.html_name: minutes})
    draft = queries.current_draft(garment).pk
    again = {"draft": draft, "held": 2, "version": 1}

    answer = owner.post(reverse("desk:restore-operations", args=[garment.pk]), again)

    assert made.told(answer) == ["That version holds again. The price is reckoned anew."]
    assert rows(page(owner, garment))[row.operation.name].operation.minutes == 90
    twice = owner.post(reverse("desk:restore-operations", args=[garment.pk]), again)
    assert "changed since you opened it" in made.told(twice)[0]
    assert OperationsRevision.objects.count() == 3


@pytest.mark.parametrize("sent", [{}, {"draft": "x", "held": "1", "version": "1"}, {"version": "9" * 30}])
def test_restore_refuses_what_arrives_broken(sent, owner, garment):
    answer = owner.post(reverse("desk:restore-operations", args=[garment.pk]), sent)

    assert len(made.told(answer)) == 1
    assert OperationsRevision.objects.count() == 0


def test_restore_refuses_a_version_that_is_not_there(owner, garment):
    sent = {"draft": queries.current_draft(garment).pk, "held": 0, "version": 7}

    answer = owner.post(reverse("desk:restore-operations", args=[garment.pk]), sent)

    assert made.told(answer) == ["There is no such version of the list."]


def test_the_second_of_two_editors_is_told(owner, garment):
    row, _ = first_sewn(owner, garment)
    stale = as_shown(page(owner, garment))
    send(owner, garment, {row.minutes.html_name: "90"})

    answer = owner.post(address(garment), {**stale, row.minutes.html_name: "45", "reason": "quicker"})

    assert "Somebody else changed this" in answer.text
    assert OperationsRevision.objects.count() == 1
    form = answer.context["form"]
    again = {name: form.data[name] for name in form.data} | {"reason": "quicker"}
    assert owner.post(address(garment), again).status_code == 302
    assert rows(page(owner, garment))[row.operation.name].operation.minutes == 45


def test_who_changed_the_list_of_an_older_draft_is_told(house, owner, garment):
    row, _ = first_sewn(owner, garment)
    stale = as_shown(page(owner, garment))
    built.measure(house, garment, now=made.timezone.now(), waist_girth="72")
    garment.refresh_from_db()
    built.orders.draft_garment(garment=garment, by=house.owner, now=made.timezone.now())

    answer = owner.post(address(garment), {**stale, row.minutes.html_name: "45", "reason": "quicker"})

    assert "Somebody else changed this" in answer.text
    assert OperationsRevision.objects.count() == 0


BROKEN = {
    "minutes": ("NaN", "-1", "1e9", "six", "Infinity", "2 h"),
    "place": ("0", "-3", "x", "1e400"),
}


def test_what_makes_no_list_is_refused_at_its_row(owner, garment):
    row, _ = first_sewn(owner, garment)
    for part, texts in BROKEN.items():
        field = getattr(row, part).html_name
        for typed in texts:
            answer = send(owner, garment, {field: typed})

            assert answer.status_code == 200
            assert field in made.faults(answer), typed
            assert row.operation.name in answer.context["form"].row_faults()[0]
    assert OperationsRevision.objects.count() == 0


REFUSED = (
    ({"reason": ""}, "reason"),
    ({"reason": "x" * 301}, "reason"),
    ({"added_name": "Bow"}, "added_minutes"),
    ({"added_minutes": "5"}, "added_name"),
    ({"added_name": "x" * 121, "added_minutes": "5"}, "added_name"),
    ({"added_name": "Bow", "added_minutes": "5", "added_group": "fit"}, "added_group"),
    ({"added_name": "Bow", "added_minutes": "5", "added_phase": "5"}, "added_phase"),
    ({"added_name": "Look it over", "added_minutes": "5"}, "added_name"),
    ({"expected_version": "x"}, "__all__"),
    ({"draft": ""}, "draft"),
)


def test_operations_form_says_why_it_is_refused(owner, garment):
    for sent, field in REFUSED:
        answer = send(owner, garment, sent)

        assert answer.status_code == 200
        assert field in made.faults(answer), sent
    assert OperationsRevision.objects.count() == 0


def test_nothing_changed_is_said_and_nothing_kept(owner, garment):
    answer = send(owner, garment, {})

    assert made.faults(answer)["__all__"] == ["Nothing of the list was changed."]
    assert OperationsRevision.objects.count() == 0


def test_a_delivered_garments_list_stays(owner, garment):
    Garment.objects.filter(pk=garment.pk).update(stage="delivered")
    row, _ = first_sewn(owner, garment)

    answer = send(owner, garment, {row.minutes.html_name: "90"})

    assert "delivered" in made.faults(answer)["__all__"][0]
    assert "Keep this list" not in answer.text


def test_before_a_draft_the_page_leads_back(house, owner):
    row = made.garment(house)

    answer = owner.get(address(row))

    assert answer.url == reverse("desk:garment", args=[row.pk])
    assert "Draft Grey dress first" in made.told(answer)[0]


def test_list_is_changed_before_any_price_is_set(house, owner):
    row = made.drafted(house).garment
    sewn, _ = first_sewn(owner, row)

    send(owner, row, {sewn.minutes.html_name: "90"})

    assert OperationsRevision.objects.count() == 1
    assert Estimate.objects.count() == 0


def test_a_price_says_what_a_new_draft_no_longer_has(house, owner, garment):
    OperationsRevision.objects.create(
        garment=garment, version=1, content=Revision(minutes={"Sew the bow": 9}).to_json(), reason="bow",
        summary="", created_at=made.timezone.now(),
    )  # fmt: skip

    answer = owner.post(reverse("desk:estimate", args=[garment.pk]), follow=True)

    assert "You changed the operation &#x27;Sew the bow&#x27;" in answer.text
    assert "which this draft does not have" in owner.get(address(garment)).text
