"""REST: a garment measured, drafted, moved and quoted."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from django.test import Client

from costing.models import Quote
from costing.services import buy_cloth
from tests.workshop import factories
from tests.workshop.factories import BODY
from tests.workshop.orders import house as built
from workshop.orders.models import Garment
from workshop.people.models import MeasurementSet


@pytest.fixture
def garment(house) -> Garment:
    return built.garment_of(factories.take_order(house))


def measured(**changes: object) -> dict[str, object]:
    return {"unit": "cm", "measurements": BODY, "taken_on": "2026-03-02", **changes}


def test_measure_records_and_moves_on(owner, garment):
    response = owner.post(f"garments/{garment.pk}/measure/", measured())

    assert (response.status_code, response.json()["stage"]) == (200, "draft")
    assert MeasurementSet.objects.get().values["bust_girth"] == 920.0


def test_measure_names_each_field_it_cannot_read(owner, garment):
    typed = {**BODY, "waist_girth": "-3", "hip_girth": "wide"}

    response = owner.post(f"garments/{garment.pk}/measure/", measured(measurements=typed))

    assert response.status_code == 409
    assert sorted(response.json()["errors"]) == ["hip_girth", "waist_girth"]
    assert not MeasurementSet.objects.exists()


def test_measure_asks_about_what_is_unlikely(owner, garment):
    typed = {**BODY, "waist_girth": "50"}
    asked = owner.post(f"garments/{garment.pk}/measure/", measured(measurements=typed)).json()
    fields = [question["field"] for question in asked["questions"]]

    confirmed = owner.post(f"garments/{garment.pk}/measure/", measured(measurements=typed, confirmed=fields))

    assert fields == ["waist_girth"]
    assert confirmed.status_code == 200


def test_draft_drafts_and_asks_for_files_and_lays(owner, garment):
    owner.post(f"garments/{garment.pk}/measure/", measured())

    response = owner.post(f"garments/{garment.pk}/draft/")

    assert (response.status_code, response.json()["passed"]) == (201, True)
    assert {"pattern_files", "lay_plans"} <= {job["kind"] for job in owner.get("jobs/").json()["results"]}


def test_draft_of_an_unmeasured_garment_is_refused(owner, garment):
    response = owner.post(f"garments/{garment.pk}/draft/")

    assert response.status_code == 409
    assert "easure" in response.json()["detail"]


def test_move_says_what_is_missing(owner, garment):
    response = owner.post(f"garments/{garment.pk}/move/", {"to": "draft"})

    assert (response.status_code, response.json()) == (
        409,
        {"detail": "Grey dress cannot go to draft yet. Measure Marta Quist.", "field": ""},
    )


def test_move_moves(house, owner):
    garment = factories.garment_to_cut(house)
    built.tick_all(house, garment)

    response = owner.post(f"garments/{garment.pk}/move/", {"to": "sew"})

    assert (response.status_code, response.json()["stage"]) == (200, "sew")


def test_quote_is_prepared_and_sent(house, owner):
    draft = factories.drafted_garment(house)

    quote = owner.post(f"orders/{draft.garment.order.number}/quote/")
    link = owner.post(f"quotes/{quote.json()['id']}/send/")
    again = owner.post(f"quotes/{quote.json()['id']}/send/")

    shown = quote.json()
    assert (quote.status_code, shown["version"], shown["state"]) == (201, 1, "open")
    assert shown["payable"] == str(Quote.objects.get().payable)
    assert (link.status_code, again.status_code) == (200, 409)
    secret = re.search(r"/c/([\w-]{43})/$", link.json()["address"]).group(1)
    assert Client().get(f"/c/{secret}/").status_code == 200


def test_lengths_are_listed_and_laid_on(house, owner, run_jobs):
    draft = factories.drafted_garment(house)
    key = buy_cloth(cloth=house.satin, length_mm=1200, now=built.NOW).pk

    listed = owner.get(f"drafts/{draft.pk}/lengths/")
    job = owner.post(f"drafts/{draft.pk}/lay-on-lengths/", {"role": "shell", "lengths": [key]})
    gone = owner.post(f"drafts/{draft.pk}/lay-on-lengths/", {"role": "shell", "lengths": [key + 1]})

    [row] = listed.json()
    assert row == {"role": "shell", "key": key, "free_mm": 1200.0, "is_remnant": False, "flaws": 0}
    assert (job.status_code, job.json()["kind"]) == (202, "lay_on_lengths")
    assert (gone.status_code, gone.json()["detail"][:27]) == (409, "A length that was chosen do")
    run_jobs()
    lays = owner.get(f"drafts/{draft.pk}/").json()["lay_plans"]
    [taken] = [lay["takes"] for lay in lays if lay["role"] == "shell"]
    assert [take["length"] for take in taken] == [key, None]


def test_a_garment_is_taxed_by_another_rate_and_by_the_usual_one_again(house, owner, apprentice, garment):
    from workshop.people.services import add_tax_rate

    next_door = built.open_house("Lantern")
    rates = [
        add_tax_rate(workshop=at.workshop, name="children", percent=Decimal(6), by=at.owner, now=built.NOW)
        for at in (house, next_door)
    ]
    address = f"garments/{garment.pk}/tax-rate/"
    listed = owner.get("tax-rates/").json()["results"]

    chosen = owner.post(address, {"tax_rate": rates[0].pk, "expected_version": garment.version})
    late = owner.post(address, {"tax_rate": None, "expected_version": garment.version})
    strange = owner.post(address, {"tax_rate": rates[1].pk, "expected_version": garment.version + 1})
    usual = owner.post(address, {"tax_rate": None, "expected_version": garment.version + 1})

    assert listed == [{"id": rates[0].pk, "name": "children", "percent": "6.00", "zero_rated": False}]
    assert (chosen.status_code, chosen.json()["tax_rate"]) == (200, rates[0].pk)
    assert (late.status_code, strange.status_code) == (409, 409)
    assert (usual.status_code, usual.json()["tax_rate"]) == (200, None)
    assert apprentice.get("tax-rates/").status_code == 403
    assert apprentice.post(address, {"tax_rate": None, "expected_version": 9}).status_code == 403
