from __future__ import annotations

from datetime import timedelta

import pytest

import drafting
from costing.queries import reserved_for, stock_of
from drafting.output.contract import to_contract
from tests.workshop.orders.house import (
    NOW,
    STYLE,
    TODAY,
    add_wearer,
    draft,
    lay,
    measure,
    open_house,
    to_cut,
    to_sew,
)
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders import queries, services
from workshop.orders.models import Draft, Garment
from workshop.people import services as people
from workshop.people.models import LogEntry
from workshop.people.queries import body_of, house_values


def test_draft_garment_stores_the_whole_draft_with_what_it_was_made_from(house, garment):
    measured = measure(house, garment)

    made = services.draft_garment(garment=garment, by=house.owner, now=NOW)

    garment.refresh_from_db()
    again = drafting.make_draft(STYLE, body_of(measured), garment.choices, house_values(house.workshop))
    assert made.output == to_contract(again)
    assert (made.version, made.engine, made.passed, made.failed_checks) == (1, drafting.ENGINE, True, 0)
    assert made.roles == ["shell", "interfacing"]
    assert made.inputs["measurements"] == {
        "bust_girth": 920.0,
        "waist_girth": 740.0,
        "hip_girth": 990.0,
        "stature": 1680.0,
    }
    assert made.inputs["measurement_set"] == measured.pk
    assert garment.stage == "draft"


def test_draft_garment_writes_the_cutting_list_in_order(house, garment):
    made = draft(house, garment)

    lines = list(queries.cutting_lines(made))
    assert [line.position for line in lines] == list(range(1, len(lines) + 1))
    assert {line.cloth for line in lines} == {"shell", "interfacing"}
    assert all(line.cut_at is None and line.count >= 1 for line in lines)


def test_draft_garment_twice_supersedes_the_first(house, garment):
    first = draft(house, garment)

    second = services.draft_garment(garment=garment, by=house.owner, now=NOW + timedelta(hours=1))

    first.refresh_from_db()
    assert (second.version, queries.current_draft(garment)) == (2, second)
    assert first.superseded_at == NOW + timedelta(hours=1)
    assert first.superseded_reason == "drafted anew"
    assert first.output == second.output


def test_draft_garment_follows_the_house_rules_that_hold(house, garment):
    first = draft(house, garment)
    rule = "hem_depth"
    people.change_house_rules(
        workshop=house.workshop,
        values={rule: house_values(house.workshop)[rule] + 5},
        expected_version=0,
        by=house.owner,
        now=NOW,
    )

    second = services.draft_garment(garment=garment, by=house.owner, now=NOW)

    first.refresh_from_db()
    assert second.inputs["house"][rule] == first.inputs["house"][rule] + 5
    assert second.output != first.output


def test_draft_garment_refuses_an_unmeasured_one(house, garment):
    with pytest.raises(
        Refusal,
        match=r"^Measure Marta Quist first, or let a size stand in; then the pattern can be drafted\.$",
    ):
        services.draft_garment(garment=garment, by=house.owner, now=NOW)


def test_draft_garment_refuses_a_cancelled_order(house, order, garment):
    measure(house, garment)
    services.cancel_order(order=order, reason="moved away", by=house.owner, now=NOW)

    with pytest.raises(Refusal, match=r"^This order was cancelled; nothing is drafted for it\.$"):
        services.draft_garment(garment=garment, by=house.owner, now=NOW)


@pytest.mark.parametrize("stage", ["sew", "fit", "deliver", "delivered"])
def test_draft_garment_refuses_what_was_cut_already(house, garment, stage):
    made = draft(house, garment)
    Garment.objects.filter(pk=garment.pk).update(stage=stage)

    with pytest.raises(Refusal) as refused:
        services.draft_garment(garment=garment, by=house.owner, now=NOW)

    assert str(refused.value) == (
        f"Grey dress is at {stage}: cloth was cut from its draft. Send it back to cut first."
    )
    assert list(Draft.objects.all()) == [made]


def test_draft_garment_refuses_another_workshop_s_staff(house, garment):
    measure(house, garment)

    with pytest.raises(Refusal, match=r"^There is no such staff in this workshop\.$"):
        services.draft_garment(garment=garment, by=open_house("Other").owner, now=NOW)


def test_set_measurements_puts_a_garment_from_measure_to_draft(house, garment):
    measured = measure(house, garment)

    garment.refresh_from_db()
    assert (garment.stage, garment.measurements, garment.version) == ("draft", measured, 2)


def test_set_measurements_again_changes_nothing(house, garment):
    measured = measure(house, garment)
    made = services.draft_garment(garment=garment, by=house.owner, now=NOW)

    services.set_measurements(garment=garment, measurements=measured, by=house.owner, now=NOW)

    made.refresh_from_db()
    assert made.superseded_at is None


def test_set_measurements_refuses_another_wearer_s(house, order, garment):
    sister = add_wearer(house.client, "Lise Quist")
    measured = people.record_measurements(
        wearer=sister,
        unit="cm",
        typed={"bust_girth": "88", "waist_girth": "70", "hip_girth": "95", "stature": "165"},
        taken_by=house.owner,
        taken_on=TODAY,
        now=NOW,
    )

    with pytest.raises(Refusal, match=r"^These measurements are another wearer's\.$"):
        services.set_measurements(garment=garment, measurements=measured, by=house.owner, now=NOW)


def test_set_measurements_refuses_a_delivered_garment(house, garment):
    measured = measure(house, garment)
    Garment.objects.filter(pk=garment.pk).update(stage="delivered", measurements=None)

    with pytest.raises(Refusal, match=r"^This garment is delivered; its measurements stay as they were\.$"):
        services.set_measurements(garment=garment, measurements=measured, by=house.owner, now=NOW)


def test_set_measurements_supersedes_draft_lays_estimate_and_frees_the_cloth(house, order):
    garment = to_cut(house, order)
    old = queries.current_draft(garment)
    estimate = queries.current_estimate(garment)
    assert set(reserved_for(garment.pk)) == {house.satin.pk, house.interfacing.pk}

    later = NOW + timedelta(days=1)
    measure(house, garment, now=later, bust_girth="94")

    garment.refresh_from_db()
    old.refresh_from_db()
    estimate.refresh_from_db()
    assert (old.superseded_at, old.superseded_reason) == (later, "new measurements")
    assert [lay.superseded_at for lay in old.lay_plans.all()] == [later, later]
    assert estimate.superseded_at == later
    assert reserved_for(garment.pk) == {}
    assert stock_of([house.satin.pk])[house.satin.pk].free == 20_000.0
    assert (garment.stage, garment.stage_since_at) == ("draft", later)
    assert queries.current_draft(garment) is None
    assert queries.next_need(garment) == "Draft the pattern."


def test_change_garment_supersedes_a_draft_that_is_being_sewn(house, order):
    garment = to_sew(house, order)
    old = queries.current_draft(garment)

    services.change_garment(
        garment=garment,
        expected_version=garment.version,
        title=garment.title,
        style=STYLE,
        choices={"skirt_length": "70 cm"},
        cloths={"shell": (house.satin, ""), "interfacing": (house.interfacing, "")},
        by=house.owner,
        now=NOW,
    )

    garment.refresh_from_db()
    old.refresh_from_db()
    assert (garment.stage, old.superseded_reason) == ("draft", "style, choices or cloth changed")
    draft(house, garment)
    assert queries.moves(garment)[0].refusals[0] == (
        "The garment was changed after the quote was accepted: send a new version."
    )


def test_change_garment_of_the_way_alone_keeps_the_draft_and_supersedes_its_lays(house, garment):
    made = draft(house, garment)
    lay(made)
    garment.refresh_from_db()

    services.change_garment(
        garment=garment,
        expected_version=garment.version,
        title=garment.title,
        style=STYLE,
        choices={},
        cloths={"shell": (house.satin, "folded"), "interfacing": (house.interfacing, "")},
        by=house.owner,
        now=NOW,
    )

    made.refresh_from_db()
    assert made.superseded_at is None
    assert list(queries.current_lays(made)) == []


def failing(made: Draft) -> Draft:
    """A stored draft whose checks failed: the engine's own drafts of this style pass them."""
    Draft.objects.filter(pk=made.pk).update(passed=False, failed_checks=2)
    made.refresh_from_db()
    return made


def test_waive_checks_needs_a_reason_and_then_lets_it_be_cut(house, garment):
    made = failing(draft(house, garment))
    assert queries.moves(garment)[0].refusals[0] == (
        "2 checks of the draft failed: mend the measurements, or waive them."
    )
    with pytest.raises(Refusal, match=r"^Enter why they are waived\.$"):
        services.waive_checks(draft=made, reason="", by=house.owner, now=NOW)

    waived = services.waive_checks(draft=made, reason="the hem is cut by hand", by=house.owner, now=NOW)

    assert (waived.waived_by, waived.waived_reason) == (house.owner, "the hem is cut by hand")
    assert queries.moves(garment)[0].refusals[0] == "Prepare the quote."
    entry = LogEntry.objects.get(action="waive checks")
    assert entry.summary == "Waived 2 failed checks: the hem is cut by hand"


def test_waive_checks_is_the_owner_s(house, garment):
    made = failing(draft(house, garment))

    with pytest.raises(Refusal, match=r"^Only the owner can waive the checks of a draft; ask them\.$"):
        services.waive_checks(draft=made, reason="x", by=house.apprentice, now=NOW)


def test_waive_checks_refuses_where_all_passed_and_where_superseded(house, garment):
    made = draft(house, garment)

    with pytest.raises(Refusal, match=r"^All checks of this draft passed; there is nothing to waive\.$"):
        services.waive_checks(draft=made, reason="x", by=house.owner, now=NOW)

    services.draft_garment(garment=garment, by=house.owner, now=NOW)
    with pytest.raises(Refusal, match=r"^This draft is superseded; use the one that holds now\.$"):
        services.waive_checks(draft=made, reason="x", by=house.owner, now=NOW)


@pytest.mark.parametrize("request_work", [services.request_files, services.request_lay_plans])
def test_request_twice_is_one_job_and_none_for_a_superseded_draft(house, garment, request_work):
    made = draft(house, garment)

    first = request_work(draft=made, by=house.owner, now=NOW)
    second = request_work(draft=made, by=house.apprentice, now=NOW)

    assert first == second
    services.draft_garment(garment=garment, by=house.owner, now=NOW)
    made.refresh_from_db()
    with pytest.raises(Refusal, match=r"^This draft is superseded; use the one that holds now\.$"):
        request_work(draft=made, by=house.owner, now=NOW)
    assert Job.objects.filter(kind=first.kind).count() == 1
