"""REST: whose it is, what it shows, what it does, and how it says no."""

from __future__ import annotations

import re
import uuid
from datetime import timedelta
from html import unescape
from typing import Any

import pytest
import yaml
from django.core.cache import cache
from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from costing.models import Quote
from tests.workshop import factories
from tests.workshop.factories import BODY, PASSWORD, STYLE
from tests.workshop.orders import house as built
from workshop.orders.models import Garment, Order
from workshop.people.models import MeasurementSet, Staff
from workshop.planning.models import Fitting
from workshop.planning.queries import free_fitting_slots


@pytest.fixture(autouse=True)
def nothing_counted(db) -> None:
    """The throttle counts in the cache; each test begins anew."""
    cache.clear()


LISTS = ("orders", "garments", "quotes", "fittings", "jobs")


class Caller:
    """Somebody with a token."""

    def __init__(self, staff: Staff) -> None:
        sent = {"username": staff.user.username, "password": PASSWORD}
        token = Client().post("/api/token/", sent, content_type="application/json").json()["token"]
        self.client = Client(headers={"Authorization": f"Token {token}"})

    def get(self, address: str) -> Any:
        return self.client.get(f"/api/{address}")

    def post(self, address: str, body: object = None) -> Any:
        return self.client.post(
            f"/api/{address}", {} if body is None else body, content_type="application/json"
        )


@pytest.fixture
def owner(house) -> Caller:
    return Caller(house.owner)


@pytest.fixture
def apprentice(house) -> Caller:
    return Caller(house.apprentice)


# Who may come in


@pytest.mark.parametrize("name", LISTS)
def test_a_list_asks_for_a_token(name):
    response = Client().get(f"/api/{name}/")

    assert response.status_code == 401
    assert response.json() == {"detail": "Authentication credentials were not provided."}


def test_token_refuses_a_wrong_password(house):
    sent = {"username": house.owner.user.username, "password": "guessed"}

    assert Client().post("/api/token/", sent, content_type="application/json").status_code == 400


def test_token_waits_after_twenty_tries(house):
    sent = {"username": house.owner.user.username, "password": "guessed"}
    answers = [Client().post("/api/token/", sent, content_type="application/json") for _ in range(21)]

    assert [answer.status_code for answer in answers] == [400] * 20 + [429]


def test_a_token_ends_with_the_work(house, owner):
    Staff.objects.filter(pk=house.owner.pk).update(active=False)

    assert owner.get("orders/").status_code == 403


def test_a_session_serves_too(house):
    client = Client()
    client.force_login(house.owner.user)

    assert client.get("/api/orders/").status_code == 200


def test_nothing_of_another_workshop_is_there(house, owner, next_door):
    draft = factories.drafted_garment(next_door)
    garment, order = draft.garment, draft.garment.order
    fitting = built.hold(next_door, garment)
    quote = built.quote(next_door, order)

    asked = [
        f"garments/{garment.pk}/",
        f"drafts/{draft.pk}/",
        f"quotes/{quote.pk}/",
        f"fittings/{fitting.pk}/",
    ]
    asked += [f"orders/{order.number}/", f"garments/{garment.pk}/fitting-times/"]
    sent = [f"garments/{garment.pk}/draft/", f"quotes/{quote.pk}/send/"]
    sent += [f"fittings/{fitting.pk}/{deed}/" for deed in ("cancel", "hold")]
    lists = [
        owner.get(f"{name}/").json()["count"] for name in ("orders", "garments", "quotes", "fittings", "jobs")
    ]

    assert [owner.get(address).status_code for address in asked] == [404] * 6
    assert [owner.post(address).status_code for address in sent] == [404] * 4
    assert lists == [0] * 5
    assert Caller(next_door.owner).get("garments/").json()["count"] == 1


def test_an_apprentice_reads_initials_and_decides_nothing(house, apprentice):
    garment = factories.measured_garment(house)
    number = garment.order.number

    assert apprentice.get(f"garments/{garment.pk}/").json()["wearer"] == "MQ"
    assert apprentice.get(f"orders/{number}/").json()["client"] == "MQ"
    assert apprentice.get("quotes/").status_code == 403
    refused = apprentice.post(f"garments/{garment.pk}/draft/")
    assert (refused.status_code, refused.json()) == (403, {"detail": "Only the owner can do this."})
    assert not garment.drafts.exists()


# What is shown


def test_orders_shows_an_order_with_its_garments(house, owner):
    order = factories.take_order(house, occasion="a wedding")
    garment = order.garments.get()

    assert owner.get(f"orders/{order.number}/").json() == {
        "number": 1,
        "client": "Marta Quist",
        "occasion": "a wedding",
        "due_on": "2026-04-30",
        "note": "",
        "version": 1,
        "created_at": "2026-03-02T09:00:00Z",
        "cancelled_at": None,
        "garments": [
            {
                "id": garment.pk,
                "order": 1,
                "position": 1,
                "title": "Grey dress",
                "wearer": "Marta Quist",
                "style": STYLE,
                "choices": garment.choices,
                "cloths": {"shell": house.satin.pk, "interfacing": house.interfacing.pk},
                "stage": "measure",
                "stage_since_at": "2026-03-02T09:00:00Z",
                "size": "",
                "draft": None,
                "version": 1,
                "delivered_at": None,
            }
        ],
    }


def test_drafts_shows_the_draft_as_the_command_writes_it(house, owner):
    draft = factories.drafted_garment(house)

    shown = owner.get(f"drafts/{draft.pk}/").json()

    assert shown["output"] == draft.output
    assert (shown["garment"], shown["passed"], shown["failed_checks"]) == (draft.garment_id, True, 0)
    assert [(plan["role"], plan["buy_length_mm"]) for plan in shown["lay_plans"]] == [
        (plan.role, plan.buy_length_mm) for plan in draft.lay_plans.order_by("pk")
    ]
    assert owner.get(f"garments/{draft.garment_id}/").json()["draft"] == draft.pk


def test_lists_come_in_pages(house, owner):
    for _ in range(3):
        factories.take_order(house)

    page = owner.get("orders/?limit=2").json()

    assert (page["count"], [row["number"] for row in page["results"]]) == (3, [3, 2])
    assert [row["number"] for row in owner.get("orders/?limit=2&offset=2").json()["results"]] == [1]


@pytest.mark.parametrize("name", LISTS)
def test_lists_ask_the_database_as_often_for_three_rows(house, owner, name):
    counted = []
    for _ in range(3):
        garment = factories.quoted_order(house).order.garments.get()
        built.hold(house, garment, after=timedelta(days=1 + len(counted)))
        with CaptureQueriesContext(connection) as asked:
            rows = owner.get(f"{name}/").json()["count"]
        counted.append((rows, len(asked)))

    assert counted[0][0] < counted[2][0]
    assert counted[0][1] == counted[2][1]


# Taking an order


def order_of(house, **changes: object) -> dict[str, object]:
    wish = {
        "wearer": house.wearer.pk,
        "title": "Blue dress",
        "style": STYLE,
        "choices": {},
        "cloths": [{"role": "shell", "cloth": house.satin.pk}],
    }
    return {
        "client": house.client.pk,
        "due_on": "2026-05-30",
        "submission": str(uuid.uuid4()),
        "garments": [wish],
        **changes,
    }


def test_orders_takes_an_order_once(house, owner):
    body = order_of(house)

    first, again = owner.post("orders/", body), owner.post("orders/", body)

    assert (first.status_code, again.status_code) == (201, 201)
    assert first.json() == again.json()
    assert first.json()["garments"][0]["title"] == "Blue dress"
    assert Order.objects.count() == 1


def test_orders_names_the_field_that_is_wrong(house, owner):
    response = owner.post("orders/", order_of(house, due_on="soon", garments=[], submission="x"))

    assert response.status_code == 400
    assert sorted(response.json()) == ["due_on", "garments", "submission"]


def test_orders_refuses_in_words(house, owner):
    response = owner.post("orders/", order_of(house, due_on="2026-03-01"))

    assert (response.status_code, response.json()) == (
        409,
        {"detail": "That day is past; choose today or a later one.", "field": "due_on"},
    )


def test_orders_refuses_a_stranger_from_next_door(house, owner, next_door):
    wish = {**order_of(house)["garments"][0], "wearer": next_door.wearer.pk}
    cloth = {**order_of(house)["garments"][0], "cloths": [{"role": "shell", "cloth": next_door.satin.pk}]}

    answers = [
        owner.post("orders/", order_of(house, client=next_door.client.pk)),
        owner.post("orders/", order_of(house, garments=[wish])),
        owner.post("orders/", order_of(house, garments=[cloth])),
    ]

    assert [(answer.status_code, answer.json()["field"]) for answer in answers] == [
        (409, "client"),
        (409, "wearer"),
        (409, "cloth"),
    ]
    assert Order.objects.count() == 0


@pytest.mark.parametrize(
    "choices",
    [
        {"bodice_ease": [1, 2]},
        {"unheard_of": 3},
        {"skirt_length": "nan"},
        {"skirt_length": -5},
        {"skirt_length": 10**400},
        {"skirt_length": {"mm": 5}},
        {"skirt_length": None},
        {"collar": "\x00"},
    ],
)
def test_orders_answers_odd_choices_with_words(house, owner, choices):
    wish = {**order_of(house)["garments"][0], "choices": choices}

    response = owner.post("orders/", order_of(house, garments=[wish]))

    assert response.status_code == 409, response.content
    assert response.json()["detail"]


@pytest.mark.parametrize("body", ["", "[]", "{", '{"client": NaN}', "null", '"x"', "[" * 2000])
def test_orders_answers_odd_bodies_with_400(owner, body):
    response = owner.client.post("/api/orders/", body, content_type="application/json")

    assert response.status_code == 400


@pytest.mark.parametrize("number", [10**30, -1, 0])
def test_orders_answers_odd_keys_with_words(house, owner, number):
    response = owner.post("orders/", order_of(house, client=number))

    assert response.status_code in {400, 409}
    assert Order.objects.count() == 0


def test_an_address_with_a_huge_key_is_nothing(owner):
    asked = [f"{name}/{10**30}/" for name in ("orders", "garments", "drafts", "quotes", "fittings", "jobs")]

    assert [owner.get(address).status_code for address in asked] == [404] * 6


# What is done to a garment


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


# Quotes


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


# Fittings


@pytest.fixture
def accepted(house) -> Garment:
    return factories.accepted_order(house).order.garments.get()


def test_fittings_books_a_free_time_once(owner, accepted):
    first = free_fitting_slots(accepted, factories.NOW)[0]
    time = owner.get(f"garments/{accepted.pk}/fitting-times/").json()[0]
    body = {"garment": accepted.pk, "starts_at": time["starts_at"]}

    booked, again = owner.post("fittings/", body), owner.post("fittings/", body)

    # When it is ready to be tried on is the plan's affair: its cloth has still to come.
    assert time == {
        "starts_at": f"{first.starts_at:%Y-%m-%dT%H:%M:%SZ}",
        "ends_at": f"{first.starts_at + timedelta(minutes=45):%Y-%m-%dT%H:%M:%SZ}",
        "fitter": "Fenna",
    }
    assert (booked.status_code, again.status_code) == (201, 409)
    assert (booked.json()["starts_at"], booked.json()["chosen_by_customer"]) == (time["starts_at"], False)
    assert Fitting.objects.count() == 1


@pytest.mark.parametrize("moment", ["2026-03-03T09:00:00", "soon", "", "9999-12-31T23:59:59-23:59"])
def test_fittings_asks_for_a_moment_with_its_offset(owner, accepted, moment):
    response = owner.post("fittings/", {"garment": accepted.pk, "starts_at": moment})

    assert (response.status_code, list(response.json())) == (400, ["starts_at"])


def test_fittings_cancels(owner, accepted):
    time = owner.get(f"garments/{accepted.pk}/fitting-times/").json()[0]["starts_at"]
    fitting = owner.post("fittings/", {"garment": accepted.pk, "starts_at": time}).json()

    cancelled = owner.post(f"fittings/{fitting['id']}/cancel/")

    assert (cancelled.status_code, cancelled.json()["cancelled_at"]) == (200, "2026-03-02T09:00:00Z")
    assert owner.post(f"fittings/{fitting['id']}/cancel/").status_code == 409
    assert owner.get(f"garments/{accepted.pk}/fitting-times/").json()[0]["starts_at"] == time


SIDE_SEAM = {"place": "side_seam", "way": "in", "side": "left", "amount_mm": 12.7}
ALTER = {"outcome": "alteration", "changes": [SIDE_SEAM]}


@pytest.fixture
def tried_on(house, accepted) -> Fitting:
    """A fitting that is on now."""
    fitting = built.hold(house, accepted, after=timedelta())
    fitting.held_at, fitting.outcome = None, ""
    fitting.save(update_fields=["held_at", "outcome"])
    return fitting


def test_fittings_holds_one_with_what_was_found_by_place(owner, tried_on):
    hem = {"place": "hem", "way": "up", "amount_mm": 25.4, "minutes": 60, "in_figure": False}
    words = {"what": "Move the zip down", "minutes": 25}
    body = {**ALTER, "changes": [SIDE_SEAM, hem], "alterations": [words], "notes": "Neat.", "signed_by": "Di"}

    held = owner.post(f"fittings/{tried_on.pk}/hold/", body)
    again = owner.post(f"fittings/{tried_on.pk}/hold/", body)

    shown = held.json()
    found = [(row["place"], row["side"], row["amount_mm"], row["words"]) for row in shown["changes"]]
    assert (held.status_code, again.status_code) == (200, 409)
    assert (shown["outcome"], shown["notes"], shown["signed_by"]) == ("alteration", "Neat.", "Di")
    assert found == [
        ("side_seam", "left", 12.7, "side seam in by 1.3 cm, left"),
        ("hem", "", 25.4, "hem up by 2.5 cm"),
        ("", "", None, "Move the zip down"),
    ]
    tasks = {task.pk: task for task in tried_on.garment.tasks.filter(group="alter")}
    assert sorted(row["task"] for row in shown["changes"]) == sorted(tasks)
    assert [tasks[row["task"]].minutes_planned for row in shown["changes"][1:]] == [60, 25]
    assert owner.get(f"fittings/{tried_on.pk}/").json() == shown


@pytest.mark.parametrize(
    ("change", "number", "part"),
    [
        ({"way": "up"}, 1, "way"),
        ({"side": ""}, 1, "side"),
        ({"amount_mm": 0}, 1, "amount"),
        ({"amount_mm": 81}, 1, "amount"),
        ({"minutes": 0}, 1, "minutes"),
        ({"side": "left"}, 1, "place"),
    ],
)
def test_fittings_says_which_finding_cannot_be(owner, tried_on, change, number, part):
    body = {**ALTER, "changes": [SIDE_SEAM, {**SIDE_SEAM, "side": "right", **change}]}

    refused = owner.post(f"fittings/{tried_on.pk}/hold/", body)

    said = refused.json()
    assert (refused.status_code, said["field"]) == (409, "changes")
    assert (said["number"], said["part"]) == (number, part)
    assert owner.get(f"fittings/{tried_on.pk}/").json()["held_at"] is None


@pytest.mark.parametrize(
    ("body", "status", "field"),
    [
        ({}, 400, "outcome"),
        ({**ALTER, "outcome": "wonderful"}, 400, "outcome"),
        ({**ALTER, "changes": [{**SIDE_SEAM, "place": "elbow"}]}, 400, "changes"),
        ({**ALTER, "changes": "hem"}, 400, "changes"),
        ({**ALTER, "changes": [{**SIDE_SEAM, "amount_mm": "nan"}]}, 400, "changes"),
        ({**ALTER, "measures": {"waist": ["80"]}}, 400, "measures"),
        ({"outcome": "alteration"}, 409, "alterations"),
        ({"outcome": "fits", "changes": [SIDE_SEAM]}, 409, "outcome"),
        ({"outcome": "remeasure", "measures": {"elbow": "9"}}, 409, "elbow"),
    ],
)
def test_fittings_holds_nothing_that_cannot_be(owner, tried_on, body, status, field):
    refused = owner.post(f"fittings/{tried_on.pk}/hold/", body)

    said = refused.json()
    assert refused.status_code == status
    assert field in (said if status == 400 else (said["field"],))
    assert owner.get(f"fittings/{tried_on.pk}/").json()["held_at"] is None


def test_fittings_are_held_by_the_owner(apprentice, tried_on):
    assert apprentice.post(f"fittings/{tried_on.pk}/hold/", ALTER).status_code == 403


# Its description


def test_schema_is_written_without_a_warning(tmp_path):
    call_command("spectacular", "--fail-on-warn", "--validate", "--file", str(tmp_path / "schema.yml"))

    assert (tmp_path / "schema.yml").read_text().startswith("openapi: 3")


def test_the_page_of_the_api_needs_nothing_from_elsewhere():
    page = Client().get("/api/").content.decode()
    found = re.findall(r"""(?:src|href)=["']([^"']+)["']""", page)
    addresses = [address for address in found if not address.startswith("#")]

    assert len(addresses) >= 3
    assert [address for address in addresses if not address.startswith("/")] == []
    for address in addresses:
        response = Client().get(address, follow=True)
        assert (address, response.status_code) == (address, 200)
        assert b"".join(response)


def test_the_page_of_the_api_leads_only_to_places_that_it_has():
    page = Client().get("/api/").content.decode()

    places = set(re.findall(r'href="#([^"]+)"', page))
    assert {"orders", "shape-Order", "shape-TakeOrder"} <= places
    assert places <= set(re.findall(r'id="([^"]+)"', page))


def test_the_page_of_the_api_shows_each_address_and_each_field_of_its_description():
    schema = yaml.safe_load(Client().get("/api/schema/").content)
    page = unescape(Client().get("/api/").content.decode())

    shown = re.findall(r'<span class="word">([A-Z]+)</span> <code>([^<]+)</code>', page)
    listed = [(method.upper(), path) for path, methods in schema["paths"].items() for method in methods]
    assert sorted(shown) == sorted(listed)
    sent = page.split('id="shape-TakeOrder"')[1].split("</dl>")[0]
    fields = schema["components"]["schemas"]["TakeOrder"]
    assert re.findall(r"<dt><code>([^<]+)</code>", sent) == list(fields["properties"])
    needed = re.findall(r'<code>([^<]+)</code> <span class="word">needed</span>', sent)
    assert sorted(needed) == sorted(fields["required"])
