"""What goes wrong in real life, in a real browser: slips of the keyboard, pressing twice, two at one page.

Each bad input is told at its field, keeps what was typed, and stores nothing.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import ViewportSize

from tests.browser.person import Person
from tests.rig.browser import PHONE

pytestmark = pytest.mark.browser

TODAY = datetime.now(UTC).date()
SENT_BEFORE = "This was sent before and is done once."


STYLE = "notched-collar-dress"


@pytest.fixture
def size() -> ViewportSize:
    """A phone: what is told must fit there, too."""
    return PHONE


@pytest.fixture
def owner(guests, furnished) -> Person:
    person: Person = guests()
    person.sign_in(furnished.owner)
    return person


@pytest.fixture
def hasty(guests, furnished) -> Person:
    """An owner whose browser runs no script, so that only the server can tell a second press from a first."""
    person: Person = guests(scripts=False)
    person.sign_in(furnished.owner)
    return person


def ordered(who: str) -> dict[str, str]:
    """What an order asks for at least."""
    due_on = (TODAY + timedelta(days=30)).isoformat()
    return {"client_name": who, "due_on": due_on, "wearer_name": who, "title": "dress"}


def orders_of(person: Person) -> list[str]:
    person.go("/desk/orders/")
    return person.page.get_by_role("link", name=re.compile(r"^Order \d")).all_inner_texts()


# Bad input


def test_measuring_tells_every_slip_at_its_field(owner, furnished):
    owner.go(f"/desk/garments/{furnished.new_garment}/measure/")
    slips = {
        "bust_girth": "-92",
        "waist_girth": "seventy four",
        "hip_girth": "99999",
        "shoulder_length": "12 kg",
        "arm_length": "0",
    }
    owner.type(**slips)

    owner.press("Keep these measurements")

    assert set(owner.faults_at()) == {*slips, "stature"}  # which was left out
    assert owner.faults_at()["stature"] == "The height is always needed; the rest can be estimated."
    owner.holds(**slips)
    owner.go(f"/desk/garments/{furnished.new_garment}/")
    owner.sees("Stage: measure")


def test_an_order_half_filled_in_says_all_that_is_missing(owner):
    before = orders_of(owner)
    owner.go("/desk/orders/new/")
    owner.type(occasion="a wedding")

    owner.press("Take the order")

    assert set(owner.faults_at()) == {"client_name", "due_on", "wearer_name", "title"}
    owner.holds(occasion="a wedding")
    assert orders_of(owner) == before


ORDER_SLIPS = [
    ("due_on", (TODAY - timedelta(days=1)).isoformat()),
    ("due_on", "2999-01-01"),
    ("client_email", "nobody at home"),
    (f"{STYLE}--skirt_length", "-60"),
    (f"{STYLE}--skirt_length", "999 m"),
    (f"{STYLE}--skirt_length", "to the knee"),
    (f"{STYLE}--skirt_length", "60 kg"),
    (f"{STYLE}--pleats", "two"),
    (f"{STYLE}--pleats", "99999999"),
]


def test_an_order_tells_a_slip_at_its_field(owner):
    before = orders_of(owner)
    good = {
        **ordered("Ann Berg"),
        "client_email": "ann@berg.example",
        f"{STYLE}--skirt_length": "60",
        f"{STYLE}--pleats": "2",
    }
    owner.go("/desk/orders/new/")
    owner.page.select_option("[name=style]", STYLE)

    for field, slip in ORDER_SLIPS:
        owner.type(**{**good, field: slip})
        owner.press("Take the order")
        assert list(owner.faults_at()) == [field], slip
        owner.holds(**{**good, field: slip})

    assert orders_of(owner) == before


CLOTH_SLIPS = [
    ({"width_mm": "-150", "price": "free"}, {"width_mm", "price"}),
    ({"width_mm": "wide", "price": "-3"}, {"width_mm", "price"}),
    ({"width_mm": "150 kg", "price": "1e99"}, {"width_mm", "price"}),
    ({"width_mm": "150", "price": "9" * 20}, {"price"}),
    ({"width_mm": "0", "price": "5"}, {"width_mm"}),
    ({"width_mm": "", "price": ""}, {"width_mm", "price"}),
]


def test_a_cloth_tells_slips_at_their_fields(owner):
    owner.go("/desk/prices/cloths/new/")

    for slips, told in CLOTH_SLIPS:
        owner.type(name="Never kept", **slips)
        owner.press("Save")
        assert set(owner.faults_at()) == told, slips
        owner.holds(name="Never kept", **slips)

    owner.go("/desk/prices/")
    assert owner.page.get_by_text("Never kept").count() == 0


def test_a_payment_tells_a_slip_at_the_amount(owner, furnished):
    owner.go(f"/desk/orders/{furnished.accepted}/payment/")
    paid = owner.page.locator("dt:has-text('Paid') + dd").inner_text()

    for slip in ("", "0", "-5", "fifty", "999999999", "9" * 20, "5.005", "5 kg"):
        owner.type(amount=slip)
        owner.press("Note it and write the receipt")
        assert list(owner.faults_at()) == ["amount"], slip
        owner.holds(amount=slip)

    assert owner.page.locator("dt:has-text('Paid') + dd").inner_text() == paid


def test_a_fitting_asks_for_a_time_that_can_be(owner, furnished):
    owner.go(f"/desk/garments/{furnished.new_garment}/fitting/")
    owner.press("Book it")
    asked = owner.faults_at()
    owner.page.fill("[name=other]", f"{TODAY - timedelta(days=2)}T10:00")
    owner.press("Book it")

    assert asked == {"slot": "Choose a free time or write another one."}
    owner.sees("That time has passed; choose a later one.")


# Pressed twice


def test_an_order_pressed_twice_is_taken_once(hasty):
    before = orders_of(hasty)
    hasty.go("/desk/orders/new/")
    hasty.type(**ordered("Ann Berg"))

    hasty.page.get_by_role("button", name="Take the order").dblclick()
    hasty.page.wait_for_url(re.compile(r"/desk/orders/\d+/$"))

    assert len(orders_of(hasty)) == len(before) + 1


def test_a_script_lets_a_form_go_once(owner):
    before = orders_of(owner)
    owner.go("/desk/orders/new/")
    owner.type(**ordered("Bo Berg"))
    sent: list[str] = []
    owner.page.on("request", lambda asked: sent.append(asked.url) if asked.method == "POST" else None)

    owner.page.get_by_role("button", name="Take the order").dblclick()
    owner.page.wait_for_url(re.compile(r"/desk/orders/\d+/$"))

    assert len(sent) == 1
    assert len(orders_of(owner)) == len(before) + 1


def test_cloth_bought_goes_on_the_shelf_once_though_one_goes_back_and_presses_again(owner, furnished):
    page = f"/desk/prices/cloths/{furnished.cloth}/"
    owner.go(page)
    on_shelf = owner.page.locator("dt:has-text('On the shelf') + dd")
    before = float(on_shelf.inner_text().split()[0])
    owner.type(length="2.5")
    owner.press("Note it")
    after = float(on_shelf.inner_text().split()[0])

    owner.page.go_back()
    owner.holds(length="2.5")
    owner.press("Note it")

    assert after == before + 2.5
    owner.page.get_by_text(SENT_BEFORE).wait_for()
    assert float(on_shelf.inner_text().split()[0]) == after


def test_a_payment_is_noted_once_though_one_goes_back_and_presses_again(owner, furnished):
    owner.go(f"/desk/orders/{furnished.accepted}/payment/")
    owner.type(amount="1.00")
    owner.press("Note it and write the receipt")
    payments = owner.page.get_by_text(re.compile(r"^Payment of"))
    noted = payments.count()

    owner.page.go_back()
    owner.press("Note it and write the receipt")

    owner.page.get_by_text(SENT_BEFORE).wait_for()
    assert payments.count() == noted
    owner.go(f"/desk/orders/{furnished.accepted}/payment/")
    owner.type(amount="1.00")
    owner.press("Note it and write the receipt")
    owner.sees("The receipt is being written.")
    assert payments.count() == noted + 1


# Two at one page


@pytest.mark.parametrize("where", ["order", "client"])
def test_the_second_of_two_editors_is_told_and_loses_nothing(where, guests, furnished):
    address, field, deed = {
        "order": (f"/desk/orders/{furnished.taken}/edit/", "note", "Save the change"),
        "client": (f"/desk/clients/{furnished.client}/", "note", "Save"),
    }[where]
    first, second = guests(), guests()
    for person in (first, second):
        person.sign_in(furnished.owner)
        person.go(address)

    first.type(**{field: "calls after six"})
    first.press(deed)
    second.type(**{field: "pays in cash"})
    second.press(deed)

    second.sees("Somebody else changed this while you were writing.")
    second.sees("calls after six")
    second.holds(**{field: "pays in cash"})
    second.press(deed)
    second.sees("Saved.")
    second.go(address)
    second.holds(**{field: "pays in cash"})


# Doors


def test_an_apprentice_is_told_whose_page_it_is(guests, furnished):
    apprentice = guests()
    apprentice.sign_in(furnished.apprentice)

    apprentice.go("/desk/prices/")

    assert apprentice.page.locator("h1").inner_text() == "Not for this sign-in"
    assert Path(apprentice.page.url).name == "prices"


def test_an_address_that_a_button_sends_to_says_what_to_do(owner):
    owner.go("/desk/week/replan/")

    assert owner.page.locator("h1").inner_text() == "Nothing to open"
    owner.sees("Go back to the page with the button and press it there.")
