"""A workshop as its pages find it, made by the services: people, prices, hours, orders at each stage.

The way of one order (``take``, ``draft``, ``send``, ``accept``, ``to_cut``, ``to_sew``) is built by
``tests.workshop.orders.house``; here is what it does not need: hours, fitters, a plan.
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from costing import services as costing
from costing.models import Cloth, Notion, Rates
from tests.workshop.orders import house as built
from tests.workshop.orders.house import BODY, DUE, NOW, STYLE, TODAY, House
from workshop.orders import services as orders
from workshop.orders.models import Draft, Garment, Order, PrivateLink
from workshop.orders.services import GarmentWish
from workshop.people import services as people
from workshop.people.models import Client, Role, Staff, Wearer, Workshop
from workshop.planning import services as planning

__all__ = ["BODY", "DUE", "NOW", "STYLE", "TODAY", "House"]

PASSWORD = "long-needle-77"
SKILLS = {Role.OWNER: ("cut", "fit", "alter"), Role.APPRENTICE: ("prepare", "sew", "press", "finish")}
"""So the plan gives the cutting to the owner and all else to the apprentice."""


def make_workshop(name: str = "Thread & Tide", **changes: Any) -> Workshop:
    """A workshop in Lisbon, open on weekdays from 9 to 13 and from 14 to 18."""
    values = {
        "name": name,
        "email": "hello@thread.example",
        "phone": "+351 555 010",
        "time_zone": "Europe/Lisbon",
        "currency": "EUR",
        "tax_rate": Decimal(21),
        "deposit_share": Decimal(40),
        "quote_terms": "Alterations after the second fitting are charged by the hour.",
    }
    workshop = people.create_workshop(now=NOW, **{**values, **changes})
    spans = [
        (day, opens, closes)
        for day in range(5)
        for opens, closes in ((time(9), time(13)), (time(14), time(18)))
    ]
    people.set_opening_hours(workshop=workshop, spans=spans, by=None, now=NOW)
    return workshop


def make_owner(workshop: Workshop, name: str = "Fenna", **changes: Any) -> Staff:
    return _hired(workshop, name, Role.OWNER, changes)


def make_apprentice(workshop: Workshop, name: str = "Ilse", **changes: Any) -> Staff:
    return _hired(workshop, name, Role.APPRENTICE, changes)


def _hired(workshop: Workshop, name: str, role: Role, changes: Mapping[str, Any]) -> Staff:
    values = {
        "username": f"{name}-{uuid.uuid4().hex[:8]}",
        "password": PASSWORD,
        "skills": SKILLS[role],
    }
    return people.add_staff(
        workshop=workshop, name=name, role=role, by=None, now=NOW, **{**values, **changes}
    )


def make_client(workshop: Workshop, name: str = "Marta Quist", email: str = "marta@example.org") -> Client:
    return people.create_client(workshop=workshop, name=name, email=email, by=None, now=NOW)


def make_wearer(client: Client, name: str = "Marta Quist", **details: Any) -> Wearer:
    return people.create_wearer(client=client, name=name, by=None, now=NOW, **details)


def make_cloths(workshop: Workshop) -> dict[str, Cloth]:
    """A shell and an interfacing, by use."""
    return {
        use: costing.add_cloth(
            workshop=workshop,
            today=TODAY,
            use=use,
            name=name,
            width_mm=width,
            price_per_metre=Decimal(price),
        )
        for use, name, width, price in (
            ("shell", "Grey satin", 1500.0, "24.00"),
            ("interfacing", "Light fusible", 900.0, "6.50"),
        )
    }


def make_notions(workshop: Workshop) -> list[Notion]:
    """Thread, zip, hook and button."""
    return [
        costing.add_notion(
            workshop=workshop, today=TODAY, kind=kind, name=name, size_mm=size, price_each=Decimal(price)
        )
        for kind, name, size, price in (
            ("thread", "Polyester thread, 500 m", 500_000.0, "3.20"),
            ("zip", "Concealed zip 60 cm", 600.0, "2.40"),
            ("hook", "Hook and eye", None, "0.30"),
            ("button", "Horn button 18 mm", 18.0, "0.90"),
        )
    ]


def make_rates(workshop: Workshop) -> Rates:
    """15 an hour and 4 of overhead, 15 % profit, prices in whole euros."""
    return costing.set_rates(
        workshop=workshop,
        hourly_wage=Decimal("15"),
        other_per_month=Decimal("1200"),
        hours_per_month=Decimal("300"),
        profit_percent=Decimal("15"),
        minimum_price=Decimal("0"),
        round_to=Decimal("1"),
        work_allowance=Decimal("15"),
        thread_waste=Decimal("15"),
    )


def make_house(name: str = "Thread & Tide", **changes: Any) -> House:
    """A workshop with an owner, an apprentice, a client who is her own wearer, and all its prices."""
    workshop = make_workshop(name, **changes)
    client = make_client(workshop)
    cloths = make_cloths(workshop)
    make_notions(workshop)
    make_rates(workshop)
    return House(
        workshop=Workshop.objects.get(pk=workshop.pk),
        owner=make_owner(workshop),
        apprentice=make_apprentice(workshop),
        client=client,
        wearer=make_wearer(client),
        satin=cloths["shell"],
        interfacing=cloths["interfacing"],
    )


def make_wish(house: House, title: str = "Grey dress", **changes: Any) -> GarmentWish:
    return built.wish(house, title=title, **changes)


def take_order(
    house: House,
    *,
    garments: Sequence[GarmentWish] | None = None,
    due_on: date = DUE,
    occasion: str = "",
    now: datetime = NOW,
) -> Order:
    """An order of one grey dress, or of the garments given."""
    return orders.take_order(
        workshop=house.workshop,
        client=house.client,
        due_on=due_on,
        occasion=occasion,
        garments=[make_wish(house)] if garments is None else garments,
        by=house.owner,
        now=now,
    )


def measured_garment(house: House, order: Order | None = None) -> Garment:
    garment = built.garment_of(order or take_order(house))
    built.measure(house, garment)
    return Garment.objects.get(pk=garment.pk)


def drafted_garment(house: House, order: Order | None = None) -> Draft:
    """The draft of a measured garment, laid on its cloths."""
    draft = built.draft(house, built.garment_of(order or take_order(house)))
    built.lay(draft)
    return draft


def quoted_order(house: House, order: Order | None = None) -> PrivateLink:
    """An order whose quote was sent; the link that the customer has."""
    return built.send(house, order or take_order(house))


def accepted_order(house: House, order: Order | None = None) -> PrivateLink:
    """An order whose quote was accepted, the work of its garments listed and planned."""
    order = order or take_order(house)
    built.accept(house, order)
    plan(house)
    return order.links.get()


def garment_to_cut(house: House, order: Order | None = None) -> Garment:
    """Deposit paid, cloth bought, moved to cut, planned."""
    garment = built.to_cut(house, order or take_order(house))
    plan(house)
    return garment


def garment_to_sew(house: House, order: Order | None = None) -> Garment:
    garment = built.to_sew(house, order or take_order(house))
    plan(house)
    return garment


def plan(house: House, now: datetime = NOW) -> None:
    """List the tasks of every garment and put them into the week."""
    for garment in Garment.objects.filter(workshop=house.workshop).order_by("pk"):
        planning.sync_tasks(garment=garment, now=now)
    planning.replan(workshop=house.workshop, now=now, seconds=0.2)


def after(**span: float) -> datetime:
    """A moment after NOW: ``after(days=9)``."""
    return NOW + timedelta(**span)
