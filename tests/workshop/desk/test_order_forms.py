"""Taking and changing orders: what is refused, that nothing is half stored, and that what was typed stays."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from drafting.styles import STYLES
from tests.workshop.desk import made
from tests.workshop.orders import house as built
from workshop.orders.models import Garment, Order
from workshop.people.models import Client, Wearer

STYLE = built.STYLE


def filled(house, **changes) -> dict[str, object]:
    return {
        "submission": uuid.uuid4(),
        "client_name": "Lena Vos",
        "due_on": made.due(),
        "wearer_name": "Nora Vos",
        "title": "Blue dress",
        "style": STYLE,
        "shell": house.satin.pk,
        "interfacing": house.interfacing.pk,
        **changes,
    }


def counts() -> tuple[int, int, int, int]:
    return tuple(model.objects.count() for model in (Order, Client, Wearer, Garment))


FORMS = ("order_form", "wearer_form", "style_form", "cloth_form")


def all_faults(response) -> dict[str, list[str]]:
    return {name: words for form in FORMS for name, words in made.faults(response, form).items()}


def test_take_order_stores_client_wearer_and_garment(house, owner):
    answer = owner.post(reverse("desk:take-order"), filled(house))

    order = Order.objects.get()
    garment = order.garments.get()
    assert answer.url == reverse("desk:order", args=[order.number])
    assert made.told(answer) == ["Order 1 is taken. Next: measure Lena Vos's wearer."]
    assert (order.client.name, garment.wearer.name, garment.title, garment.style, garment.stage) == (
        "Lena Vos",
        "Nora Vos",
        "Blue dress",
        STYLE,
        "measure",
    )
    assert {row.role: row.cloth for row in garment.cloths.all()} == {
        "shell": house.satin,
        "interfacing": house.interfacing,
    }


def test_take_order_sent_twice_makes_one_order(house, owner):
    form = filled(house)

    first = owner.post(reverse("desk:take-order"), form)
    second = owner.post(reverse("desk:take-order"), form)

    assert first.url == second.url
    assert counts() == (1, 2, 2, 1)


DAMAGED = "The page was damaged on its way here. Look through it and send it once more."
UNKNOWN = "Select a valid choice. That choice is not one of the available choices."
LONG = "Ensure this value has at most 120 characters (it has 121)."


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"client_name": ""}, "client_name", "Choose a client from the book or write the new client's name."),
        ({"wearer_name": " "}, "wearer_name", "Choose who wears it or write the new wearer's name."),
        ({"due_on": ""}, "due_on", "This field is required."),
        ({"due_on": "2026-02-30"}, "due_on", "Enter a valid date."),
        ({"due_on": "2020-01-01"}, "due_on", "That day is past; choose today or a later one."),
        ({"due_on": "9999-12-31"}, "due_on", "That is more than 5 years away; check the year."),
        ({"due_on": "0001-01-01"}, "due_on", "That day is past; choose today or a later one."),
        ({"title": ""}, "title", "This field is required."),
        ({"title": "a\x00b"}, "title", "Null characters are not allowed."),
        ({"client_name": "x" * 121}, "client_name", LONG),
        ({"style": "toga"}, "style", "Select a valid choice. toga is not one of the available choices."),
        ({"style": ""}, "style", "This field is required."),
        ({"client_email": "not an address"}, "client_email", "Enter a valid email address."),
        ({"shell": "x"}, "shell", UNKNOWN),
        ({"shell": "9" * 40}, "shell", UNKNOWN),
        ({"wearer": "\x00"}, "wearer", "Null characters are not allowed."),
        ({"submission": "x"}, "__all__", DAMAGED),
        ({"submission": ""}, "__all__", DAMAGED),
    ],
)  # fmt: skip
def test_take_order_says_what_is_wrong_and_stores_nothing(changes, field, words, house, owner):
    before = counts()

    answer = owner.post(reverse("desk:take-order"), filled(house, note="with pockets", **changes))

    assert answer.status_code == 200
    assert all_faults(answer)[field] == [words]
    assert answer.context["order_form"]["note"].value() == "with pockets"
    assert counts() == before


def lengths() -> list[str]:
    return [choice.name for choice in STYLES[STYLE].choices if choice.kind == "length"]


@pytest.mark.parametrize("typed", ["-3", "nan", "inf", "1e9", "99999", "3 furlongs", "½ of it", "x" * 5000])
@pytest.mark.parametrize("name", lengths()[:1])
def test_take_order_refuses_a_length_that_is_none(name, typed, house, owner):
    field = f"{STYLE}--{name}"

    answer = owner.post(reverse("desk:take-order"), filled(house, **{field: typed}))

    assert list(made.faults(answer, "style_form")) == [field]
    assert answer.context["style_form"][field].value() == typed
    assert Order.objects.count() == 0


def test_take_order_refuses_an_option_that_is_not_offered(house, owner):
    choice = next(row for row in STYLES[STYLE].choices if row.kind == "option")
    field = f"{STYLE}--{choice.name}"

    answer = owner.post(reverse("desk:take-order"), filled(house, **{field: "feathers"}))

    assert made.faults(answer, "style_form") == {
        field: ["Select a valid choice. feathers is not one of the available choices."]
    }


def test_take_order_does_not_know_client_wearer_and_cloth_of_another_workshop(house, owner, next_door):
    theirs = {"client": next_door.client.pk, "wearer": next_door.wearer.pk, "shell": next_door.satin.pk}

    answer = owner.post(reverse("desk:take-order"), filled(house, **theirs))

    words = ["Select a valid choice. That choice is not one of the available choices."]
    assert all_faults(answer) == dict.fromkeys(theirs, words)
    assert Order.objects.count() == 0


def test_take_order_does_not_know_a_wearer_of_another_client(house, owner):
    answer = owner.post(reverse("desk:take-order"), filled(house, wearer=house.wearer.pk))

    assert list(made.faults(answer, "wearer_form")) == ["wearer"]


def test_take_order_leaves_no_client_behind_when_the_service_refuses(house, owner):
    before = counts()

    answer = owner.post(reverse("desk:take-order"), filled(house, due_on="2020-01-01", is_minor="on"))

    assert counts() == before
    assert answer.status_code == 200


def test_take_order_without_any_field_answers(owner, house):
    answer = owner.post(reverse("desk:take-order"), {"client": ""})

    assert answer.status_code == 200
    assert {"client_name", "due_on", "title", "style", "wearer_name"} <= set(all_faults(answer))


def editing(order, **changes) -> dict[str, object]:
    return {
        "expected_version": order.version,
        "occasion": "a wedding",
        "due_on": order.due_on,
        "note": "",
        **changes,
    }


def test_edit_order_conflict_shows_what_holds_and_saving_again_puts_it_in_place(house, owner):
    order = made.take(house)
    address = reverse("desk:edit-order", args=[order.number])
    theirs, mine = editing(order, occasion="a recital"), editing(order, occasion="a wedding")
    owner.post(address, theirs)

    answer = owner.post(address, mine)

    assert dict(answer.context["edited_meanwhile"])["Occasion"] == "a recital"
    assert "Somebody else changed this while you were writing." in answer.text
    form = answer.context["form"]
    assert form["occasion"].value() == "a wedding"
    order.refresh_from_db()
    assert order.occasion == "a recital"
    again = owner.post(address, {**mine, "expected_version": form["expected_version"].value()})
    order.refresh_from_db()
    assert (again.status_code, order.occasion) == (302, "a wedding")


@pytest.mark.parametrize("version", ["", "x", "1.5", "\x00", None])
def test_edit_order_with_a_broken_version_can_be_sent_again(version, house, owner):
    order = made.take(house)
    address = reverse("desk:edit-order", args=[order.number])
    form = editing(order, expected_version=version)
    if version is None:
        del form["expected_version"]

    answer = owner.post(address, form)

    assert made.faults(answer)["__all__"] == [
        "The page was damaged on its way here. Look through it and send it once more."
    ]
    mended = answer.context["form"]["expected_version"].value()
    assert owner.post(address, {**form, "expected_version": mended}).status_code == 302


def test_edit_order_with_a_huge_version_is_a_conflict(house, owner):
    order = made.take(house)

    answer = owner.post(
        reverse("desk:edit-order", args=[order.number]), editing(order, expected_version="9" * 60)
    )

    assert dict(answer.context["edited_meanwhile"]) == {"Occasion": order.occasion}


def changing(garment, **changes) -> dict[str, object]:
    """The page of a garment as it would be sent back unchanged."""
    cloths = {row.role: row.cloth_id for row in garment.cloths.all()}
    return {
        "expected_version": garment.version,
        "title": garment.title,
        "style": garment.style,
        **cloths,
        **changes,
    }


def as_shown(owner, garment) -> dict[str, object]:
    """Every field of the page as it was sent to the browser."""
    page = owner.get(reverse("desk:change-garment", args=[garment.pk]))
    forms = [page.context[name] for name in ("version_form", "style_form", "cloth_form")]
    values = {field.html_name: field.value() for form in forms for field in form}
    return {name: value for name, value in values.items() if value is not None and value is not False}


def test_change_garment_left_as_it_was_shown_keeps_the_draft(house, owner):
    wish = built.wish(house, choices={"skirt_length": 612.34})  # shown as 61.2 cm
    order = made.take(house, garments=[wish])
    garment = built.garment_of(order)
    built.draft(house, garment, now=timezone.now())
    garment.refresh_from_db()

    answer = owner.post(
        reverse("desk:change-garment", args=[garment.pk]), {**as_shown(owner, garment), "title": "Renamed"}
    )

    garment.refresh_from_db()
    assert (answer.status_code, garment.title) == (302, "Renamed")
    assert garment.choices["skirt_length"] == 612.34
    assert garment.drafts.get().superseded_at is None


def test_change_garment_conflict_keeps_what_was_typed(house, owner):
    garment = made.garment(house)
    address = reverse("desk:change-garment", args=[garment.pk])
    mine = changing(garment, title="Mine")
    owner.post(address, changing(garment, title="Theirs"))

    answer = owner.post(address, mine)

    assert dict(answer.context["edited_meanwhile"])["Name of the garment"] == "Theirs"
    assert answer.context["style_form"]["title"].value() == "Mine"
    version = answer.context["version_form"]["expected_version"].value()
    owner.post(address, {**mine, "expected_version": version})
    garment.refresh_from_db()
    assert garment.title == "Mine"


def test_change_garment_with_a_broken_version_says_so(house, owner):
    garment = made.garment(house)

    answer = owner.post(
        reverse("desk:change-garment", args=[garment.pk]), changing(garment, expected_version="x")
    )

    assert "The page was damaged on its way here." in answer.text
    assert answer.context["version_form"]["expected_version"].value() == str(garment.version)


def test_add_garment_adds_one_for_a_known_wearer(house, owner):
    order = made.take(house)

    answer = owner.post(
        reverse("desk:add-garment", args=[order.number]),
        {"wearer": house.wearer.pk, "title": "Cape", "style": STYLE},
    )

    garment = order.garments.get(position=2)
    assert answer.url == reverse("desk:garment", args=[garment.pk])
    assert (garment.title, garment.wearer) == ("Cape", house.wearer)


def test_add_garment_to_a_cancelled_order_is_refused_and_leaves_no_wearer(house, owner):
    order = made.take(house)
    owner.post(reverse("desk:cancel-order", args=[order.number]), {"reason": "no wedding"})
    before = counts()

    answer = owner.post(
        reverse("desk:add-garment", args=[order.number]),
        {"wearer_name": "New", "title": "Cape", "style": STYLE},
    )

    assert made.faults(answer, "style_form") == {"__all__": ["This order was cancelled; take a new one."]}
    assert counts() == before


@pytest.mark.parametrize(
    ("reason", "words"),
    [
        ("", "Enter why it is cancelled."),
        ("x" * 201, "Shorten why it is cancelled: at most 200 characters, not 201."),
        ("no\x00ne", "Cancelled."),
    ],
)
def test_cancel_order_needs_a_reason(reason, words, house, owner):
    order = made.take(house)

    answer = owner.post(reverse("desk:cancel-order", args=[order.number]), {"reason": reason})

    order.refresh_from_db()
    assert made.told(answer) == [words]
    assert (order.cancelled_at is not None) == (words == "Cancelled.")


def test_edit_order_of_today_may_keep_its_day_and_move_ahead(house, owner):
    today = house.workshop.day_of(timezone.now())
    order = made.take(house, due_on=today)

    answer = owner.post(
        reverse("desk:edit-order", args=[order.number]), editing(order, due_on=today + timedelta(days=9))
    )

    order.refresh_from_db()
    assert (answer.status_code, order.due_on) == (302, today + timedelta(days=9))
