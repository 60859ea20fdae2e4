"""A size stands in for a wearer who is not measured yet: a provisional price, and nothing that is cut."""

from __future__ import annotations

from decimal import Decimal

import pytest

import drafting
from drafting.body import size_of
from drafting.errors import BadMeasurement
from drafting.output.contract import to_contract
from tests.workshop.orders.house import NOW, STYLE, garment_of, measure, set_prices, take
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders import queries, services
from workshop.orders.models import Stage
from workshop.people.queries import house_values

SIZE = "woman-92-168"


def stand_in(house, garment, size=SIZE):
    return services.stand_in(garment=garment, size=size, by=house.owner, now=NOW)


def test_a_garment_is_drafted_for_the_size_and_stays_at_measure(house, garment):
    garment = stand_in(house, garment)

    made = services.draft_garment(garment=garment, by=house.owner, now=NOW)

    garment.refresh_from_db()
    again = drafting.make_draft(STYLE, size_of(SIZE).body(), garment.choices, house_values(house.workshop))
    assert made.output == to_contract(again)
    assert (made.inputs["size"], made.inputs["measurement_set"]) == (SIZE, None)
    assert made.inputs["measurements"] == {
        "stature": 1680.0,
        "bust_girth": 920.0,
        "waist_girth": 760.0,
        "hip_girth": 1000.0,
    }
    assert garment.stage == Stage.MEASURE
    assert queries.next_need(garment, now=NOW) == "Measure Marta Quist."


def test_its_quote_is_provisional_and_says_for_whom_it_was_reckoned(house):
    set_prices(house)
    order = take(house)
    garment = stand_in(house, garment_of(order))
    services.draft_garment(garment=garment, by=house.owner, now=NOW)

    made = services.prepare_quote(order=order, by=house.owner, now=NOW)

    assert made.content["garments"][0]["provisional"] is True
    assert made.payable > Decimal(0)
    cautions = queries.current_estimate(garment).content["cautions"]
    assert [words for words in cautions if "who stands in" in words] == [
        "Reckoned for a woman, bust 92 cm, 168 cm tall, who stands in: measure the wearer, then draft anew."
    ]


def test_its_lays_are_asked_for_but_no_files_that_somebody_might_cut_from(house, garment):
    made = services.draft_garment(garment=stand_in(house, garment), by=house.owner, now=NOW)

    services.request_outputs(draft=made, by=house.owner, now=NOW)

    kinds = set(Job.objects.values_list("kind", flat=True))
    assert "lay_plans" in kinds
    assert "pattern_files" not in kinds
    with pytest.raises(Refusal, match="measure the wearer and draft anew"):
        services.request_files(draft=made, by=house.owner, now=NOW)


def test_measuring_lets_the_size_go_and_supersedes_its_draft(house, garment):
    made = services.draft_garment(garment=stand_in(house, garment), by=house.owner, now=NOW)

    measure(house, garment)

    garment.refresh_from_db()
    made.refresh_from_db()
    assert (garment.size, garment.stage) == ("", Stage.DRAFT)
    assert made.superseded_reason == "new measurements"


def test_another_size_supersedes_the_draft_and_the_same_one_does_not(house, garment):
    made = services.draft_garment(garment=stand_in(house, garment), by=house.owner, now=NOW)

    stand_in(house, garment)
    assert queries.current_draft(garment) == made

    stand_in(house, garment, "woman-100-168")
    assert queries.current_draft(garment) is None


def test_no_size_stands_in_for_somebody_measured(house, garment):
    measure(house, garment)

    with pytest.raises(Refusal, match="Marta Quist is measured") as refused:
        stand_in(house, garment)

    assert refused.value.field == "size"


def test_an_unknown_size_is_refused(house, garment):
    with pytest.raises(BadMeasurement, match="no size 'giant'"):
        stand_in(house, garment, "giant")

    garment.refresh_from_db()
    assert garment.size == ""


def test_without_measures_or_size_nothing_is_drafted(house, garment):
    with pytest.raises(Refusal, match="or let a size stand in"):
        services.draft_garment(garment=garment, by=house.owner, now=NOW)
