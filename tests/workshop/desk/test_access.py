"""Who sees the owner's pages, and that nothing of another workshop is there."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import User
from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone

from costing.models import Invoice, Quote
from costing.services import buy_cloth, note_flaw
from tests.workshop.desk import made
from tests.workshop.orders import house as built
from workshop.orders.models import JointLay, LayPlan
from workshop.people import services as people

PAGES = [(name, tuple(taken)) for name, taken in made.patterns("desk")]
ROWS = [(name, taken) for name, taken in PAGES if taken]


def anything(name: str, taken: tuple[str, ...]) -> str:
    return reverse(name, args=[1] * len(taken))


@pytest.mark.parametrize(("name", "taken"), PAGES)
def test_desk_sends_a_visitor_to_sign_in(name, taken, visitor, db):
    address = anything(name, taken)

    shown, pressed = visitor.get(address), visitor.post(address)

    assert (shown.status_code, shown.url) == (302, f"/sign-in/?next={address}")
    assert (pressed.status_code, pressed.url) == (302, "/sign-in/")


@pytest.mark.parametrize(("name", "taken"), PAGES)
def test_desk_refuses_an_apprentice_with_the_reason(name, taken, apprentice):
    for answer in (apprentice.get(anything(name, taken)), apprentice.post(anything(name, taken))):
        assert answer.status_code == 403
        assert "This page is the owner&#x27;s. Your own pages are on the bench." in answer.text


@pytest.mark.parametrize("address", ["/", "/desk/", "/bench/", "/jobs/1/", "/files/1/"])
def test_pages_refuse_a_sign_in_without_a_workshop(address, db):
    browser = Browser()
    browser.force_login(User.objects.create_user("stranger"))

    answer = browser.get(address)

    assert answer.status_code == 403
    assert "This sign-in does not belong to a workshop. Ask the owner to add you." in answer.text


def test_pages_refuse_somebody_who_left(house, owner):
    people.add_staff(
        workshop=house.workshop, name="Bo", username="bo", password="long-needle-77", role="owner",
        by=None, now=timezone.now(),
    )  # fmt: skip
    house.owner.active = False
    house.owner.save(update_fields=["active"])

    assert owner.get("/desk/").status_code == 403


def joint_of(garment) -> JointLay:
    """A joint lay that a garment has the only part of: enough to ask for its pages."""
    lay = LayPlan.objects.get(draft__garment=garment, role="shell")
    joint = JointLay.objects.create(
        workshop=lay.workshop,
        role=lay.role,
        cloth=lay.cloth,
        output=lay.output,
        length_mm=lay.length_mm,
        buy_length_mm=lay.buy_length_mm,
        single_mm=lay.buy_length_mm,
        utilisation=lay.utilisation,
        created_at=lay.created_at,
    )
    LayPlan.objects.filter(pk=lay.pk).update(joint=joint, joint_number=1)
    return joint


def keys_of(house) -> dict[str, int]:
    """A row of each kind in a workshop: beginning of its address -> its key."""
    made.take(house)
    link = made.accepted(house)
    order = link.order
    garment = built.garment_of(order)
    invoice = Invoice.objects.get(order=order)
    fitting = made.book(house, garment)
    now = timezone.now()
    bought = buy_cloth(cloth=house.satin, length_mm=900, now=now)
    letter = order.letters.create(name="quote_letter", source_id=0, begun_at=now, doubtful_at=now)
    return {
        "letters": letter.pk,
        "orders": order.number,
        "quotes": Quote.objects.get(order=order).pk,
        "invoices": invoice.pk,
        "garments": garment.pk,
        "drafts": garment.drafts.get().pk,
        "fittings": fitting.pk,
        "photographs": made.photographed(house, fitting).pk,
        "clients": house.client.pk,
        "wearers": house.wearer.pk,
        "lays": joint_of(garment).pk,
        "lays/on": house.satin.pk,
        "prices/cloths": house.satin.pk,
        "prices/flaws": note_flaw(length=bought, at_mm=5, across_mm=5, size_mm=5, now=now).pk,
        "prices/parcels": house.workshop.parcels.create(
            cloth=house.satin, length_mm=900, ordered_at=now, expected_on=now.date()
        ).pk,
        "prices/notions": house.workshop.notions.first().pk,
        "settings/staff": house.apprentice.pk,
        "tasks": garment.tasks.create(
            workshop=house.workshop, position=90, group="sew", title="Sew", minutes_planned=10
        ).pk,
        "settings/tax": house.workshop.tax_rates.create(name="children's clothes", percent=6).pk,
        "settings/machines": house.workshop.machines.create(name="overlocker", groups=["finish"]).pk,
    }


def test_desk_does_not_know_rows_of_another_workshop(owner, next_door):
    own = made.signed_in(next_door.owner)
    keys = keys_of(next_door)
    asked = set()

    for name, taken in ROWS:
        rest = [0] * (len(taken) - 1)  # the place of something within the row
        kind = reverse(name, args=[0, *rest]).split("/0/")[0].removeprefix("/desk/")
        if kind == "settings/closed":
            continue
        asked.add(kind)
        address = reverse(name, args=[keys[kind], *rest])
        assert own.get(address).status_code in {200, 405}, address
        assert [owner.get(address).status_code, owner.post(address).status_code] in (
            [404, 404],
            [405, 404],
        ), address

    assert asked == set(keys)


def test_reopen_days_leaves_another_workshops_closure(owner, next_door):
    now = timezone.now()
    day = next_door.workshop.day_of(now)
    closure = people.close_days(
        workshop=next_door.workshop, from_on=day, to_on=day, by=next_door.owner, now=now
    )

    answer = owner.post(reverse("desk:reopen-days", args=[closure.pk]))

    assert made.told(answer) == ["These closed days were taken back already."]
    assert next_door.workshop.closures.count() == 1


def test_sign_in_names_a_wrong_password_and_leads_home(house, visitor):
    form = {"username": house.owner.user.username, "password": "wrong"}

    wrong = visitor.post("/sign-in/", form)
    nul = visitor.post("/sign-in/", {**form, "username": "a\x00b"})
    right = visitor.post("/sign-in/", {**form, "password": "long-needle-77"})

    assert (wrong.status_code, len(made.faults(wrong)["__all__"])) == (200, 1)
    assert made.faults(nul)["username"] == ["Null characters are not allowed."]
    assert (right.status_code, right.url) == (302, "/")
    assert visitor.get("/").url == "/desk/"


def test_home_sends_an_apprentice_to_the_bench(apprentice):
    assert apprentice.get("/").url == "/bench/"
