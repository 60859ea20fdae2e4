"""Pages for those who do not see them, or see them badly: no fault by the rules of axe-core (WCAG)."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.browser.furnished import Furnished
from tests.browser.person import Person
from tests.rig.browser import wide_takes_long

pytestmark = pytest.mark.browser

ONLY_FAULTS = {"resultTypes": ["violations"]}
GRAVE = {"serious", "critical"}


def is_accessible(person: Person) -> None:
    """No serious or critical fault."""
    found = Axe().run(person.page, options=ONLY_FAULTS).response["violations"]
    faults = [(row["id"], row["nodes"][0]["html"]) for row in found if row["impact"] in GRAVE]
    assert faults == [], person.page.url


def desk(there: Furnished) -> list[str]:
    return [
        "/desk/",
        "/desk/week/",
        "/desk/orders/",
        "/desk/orders/new/",
        f"/desk/orders/{there.accepted}/",
        f"/desk/orders/{there.accepted}/edit/",
        f"/desk/orders/{there.accepted}/payment/",
        f"/desk/garments/{there.cut_garment}/",
        f"/desk/garments/{there.cut_garment}/estimate/",
        f"/desk/garments/{there.cut_garment}/estimate/?what=if&quantity=3&beside=pleats%3D4",
        f"/desk/garments/{there.cut_garment}/operations/",
        f"/desk/garments/{there.cut_garment}/terms/",
        f"/desk/garments/{there.new_garment}/measure/",
        f"/desk/garments/{there.new_garment}/change/",
        f"/desk/garments/{there.new_garment}/fitting/",
        f"/desk/fittings/{there.fitting}/",
        f"/desk/quotes/{there.quote}/",
        f"/desk/tasks/{there.task}/move/",
        "/desk/clients/",
        f"/desk/clients/{there.client}/",
        f"/desk/wearers/{there.wearer}/",
        "/desk/prices/",
        "/desk/lays/",
        f"/desk/lays/{there.joint}/",
        "/desk/prices/buying/",
        "/desk/prices/rates/",
        "/desk/prices/learnt/",
        "/desk/prices/files/",
        f"/desk/prices/cloths/{there.cloth}/",
        f"/desk/prices/notions/{there.notion}/",
        "/desk/money/",
        "/desk/house/",
        "/desk/settings/",
        "/desk/settings/holidays/",
        "/desk/settings/machines/",
        f"/desk/settings/machines/{there.machine}/",
        f"/desk/settings/staff/{there.staff}/",
    ]


def bench(there: Furnished) -> list[str]:
    return [
        "/bench/",
        "/bench/cutting/",
        "/bench/calendar/",
        f"/bench/garments/{there.cut_garment}/",
        f"/bench/garments/{there.cut_garment}/cut/",
    ]


@wide_takes_long
def test_the_owners_pages_are_accessible(guests, furnished):
    owner = guests()
    owner.sign_in(furnished.owner)

    for address in desk(furnished):
        owner.go(address)
        is_accessible(owner)


def test_the_bench_is_accessible(guests, furnished):
    apprentice = guests()
    apprentice.sign_in(furnished.apprentice)

    for address in bench(furnished):
        apprentice.go(address)
        is_accessible(apprentice)


def test_what_a_visitor_opens_is_accessible(guests, furnished):
    visitor = guests()

    for address in ("/sign-in/", furnished.letter, "/api/", "/sign-out/", "/nowhere/"):
        visitor.go(address)
        is_accessible(visitor)


def test_a_page_with_faults_is_accessible(guests, furnished):
    owner = guests()
    owner.sign_in(furnished.owner)
    owner.go(f"/desk/garments/{furnished.new_garment}/measure/")
    owner.type(bust_girth="ninety")

    owner.press("Keep these measurements")

    assert "bust_girth" in owner.faults_at()
    is_accessible(owner)
