"""Fenna's workshop, Thread & Tide, with one client and a price list, all made by the services."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

from costing import services as costing
from costing.models import Cloth, Quote
from workshop.orders import models
from workshop.orders import services as orders
from workshop.orders.models import Draft, Garment, LayPlan, Order, PrivateLink
from workshop.orders.services import GarmentWish
from workshop.people import services as people
from workshop.people.models import Client, MeasurementSet, Role, Staff, Wearer, Workshop
from workshop.planning.models import Fitting

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
"""A Monday."""
TODAY = date(2026, 3, 2)
DUE = date(2026, 4, 30)
STYLE = "notched-collar-dress"
BODY = {"bust_girth": "92", "waist_girth": "74", "hip_girth": "99", "stature": "168"}


@dataclass(frozen=True)
class House:
    workshop: Workshop
    owner: Staff
    apprentice: Staff
    client: Client
    wearer: Wearer
    satin: Cloth
    interfacing: Cloth


def open_house(name: str = "Thread & Tide") -> House:
    workshop = people.create_workshop(
        now=NOW,
        name=name,
        email="hello@thread.example",
        currency="EUR",
        tax_rate=Decimal(21),
        deposit_share=Decimal(40),
        quote_terms="Alterations after the second fitting are charged by the hour.",
    )
    tag = uuid.uuid4().hex[:8]
    hired = [
        people.add_staff(
            workshop=workshop,
            name=person,
            username=f"{person}-{tag}",
            password="long-needle-77",
            role=role,
            by=None,
            now=NOW,
        )
        for person, role in (("Fenna", Role.OWNER), ("Ilse", Role.APPRENTICE))
    ]
    client = people.create_client(
        workshop=workshop, name="Marta Quist", email="marta@example.org", by=None, now=NOW
    )
    cloths = {
        use: costing.add_cloth(
            workshop=workshop,
            today=TODAY,
            use=use,
            name=cloth,
            width_mm=width,
            price_per_metre=Decimal(price),
        )
        for use, cloth, width, price in (
            ("shell", "Grey satin", 1500.0, "24.00"),
            ("interfacing", "Light fusible", 900.0, "6.50"),
        )
    }
    return House(
        workshop=workshop,
        owner=hired[0],
        apprentice=hired[1],
        client=client,
        wearer=add_wearer(client),
        satin=cloths["shell"],
        interfacing=cloths["interfacing"],
    )


def add_wearer(client: Client, name: str = "Marta Quist") -> Wearer:
    return people.create_wearer(client=client, name=name, by=None, now=NOW)


def set_prices(house: House) -> None:
    """Rates, thread and zip: what an estimate asks for besides cloth."""
    costing.set_rates(
        workshop=house.workshop,
        hourly_wage=Decimal("15"),
        other_per_month=Decimal("1200"),
        hours_per_month=Decimal("300"),
        profit_percent=Decimal("15"),
        minimum_price=Decimal("0"),
        round_to=Decimal("1"),
        work_allowance=Decimal("15"),
        thread_waste=Decimal("15"),
    )
    for kind, name, size, price in (
        ("thread", "Polyester thread, 500 m", 500_000.0, "3.20"),
        ("zip", "Concealed zip 60 cm", 600.0, "2.40"),
        ("hook", "Hook and eye", None, "0.30"),
        ("button", "Horn button 18 mm", 18.0, "0.90"),
    ):
        costing.add_notion(
            workshop=house.workshop,
            today=TODAY,
            kind=kind,
            name=name,
            size_mm=size,
            price_each=Decimal(price),
        )


def wish(house: House, **changes: object) -> GarmentWish:
    values = {
        "wearer": house.wearer,
        "title": "Grey dress",
        "style": STYLE,
        "choices": {},
        "cloths": {"shell": (house.satin, ""), "interfacing": (house.interfacing, "")},
    }
    return GarmentWish(**{**values, **changes})


def take(house: House, *, wishes: list[GarmentWish] | None = None, **changes: object) -> Order:
    values = {
        "workshop": house.workshop,
        "client": house.client,
        "due_on": DUE,
        "garments": [wish(house)] if wishes is None else wishes,
        "by": house.owner,
        "now": NOW,
    }
    return orders.take_order(**{**values, **changes})


def garment_of(order: Order) -> Garment:
    return order.garments.get(position=1)


def measure(house: House, garment: Garment, *, now: datetime = NOW, **typed: str) -> MeasurementSet:
    """Take measurements and let the garment stand on them."""
    measured = people.record_measurements(
        wearer=garment.wearer,
        unit="cm",
        typed={**BODY, **typed},
        taken_by=house.owner,
        taken_on=house.workshop.day_of(now),
        now=now,
    )
    orders.set_measurements(garment=garment, measurements=measured, by=house.owner, now=now)
    return measured


def draft(house: House, garment: Garment, *, now: datetime = NOW) -> Draft:
    measure(house, garment, now=now)
    return orders.draft_garment(garment=garment, by=house.owner, now=now)


_laid: dict[str, tuple[dict[str, object], dict[str, object]]] = {}
KEPT = ("output", "length_mm", "buy_length_mm", "need_mm", "cut_mm", "utilisation")


def lay(made: Draft, *, now: datetime = NOW) -> list[LayPlan]:
    """Lay the usual dress on the usual cloths: really laid once a session, the same rows after that."""
    if not _laid:
        for plan in orders.make_lay_plans(draft=made, now=now, seconds=0.5):
            _laid[plan.role] = (plan.inputs, {name: getattr(plan, name) for name in KEPT})
        return list(made.lay_plans.filter(superseded_at=None).order_by("pk"))
    return [
        LayPlan.objects.create(
            workshop=made.workshop,
            draft=made,
            role=row.role,
            cloth=row.cloth,
            inputs={**_laid[row.role][0], "cloth": row.cloth_id},
            **_laid[row.role][1],
            created_at=now,
        )
        for row in models.GarmentCloth.objects.filter(garment=made.garment).order_by("pk")
    ]


def quote(house: House, order: Order, *, now: datetime = NOW) -> Quote:
    """Every garment measured, drafted and laid, and the quote written."""
    if not hasattr(house.workshop, "rates"):
        set_prices(house)
        house.workshop.refresh_from_db()
    for garment in order.garments.order_by("position"):
        if not garment.drafts.filter(superseded_at=None).exists():
            lay(draft(house, garment, now=now), now=now)
    return orders.prepare_quote(order=order, by=house.owner, now=now)


def send(house: House, order: Order, *, now: datetime = NOW) -> PrivateLink:
    return orders.send_quote(quote=quote(house, order, now=now), by=house.owner, now=now)


def accept(house: House, order: Order, *, now: datetime = NOW) -> Quote:
    link = send(house, order, now=now)
    version = order.quotes.get(state="sent").version
    return orders.accept_quote(link=link, name="Marta Quist", version=version, now=now)


def pay(house: House, order: Order, amount: Decimal, *, now: datetime = NOW, **more: object):
    values = {
        "order": order,
        "amount": amount,
        "method": "cash",
        "received_on": TODAY,
        "by": house.owner,
        "now": now,
    }
    return orders.record_payment(**{**values, **more})


def buy(house: House, cloth: Cloth, length_mm: float = 20_000.0, *, now: datetime = NOW) -> list[Garment]:
    return orders.mark_cloth_bought(
        workshop=house.workshop, cloth=cloth, length_mm=length_mm, by=house.owner, now=now
    )


def to_cut(house: House, order: Order) -> Garment:
    """An accepted order, its deposit paid and its cloth bought; its first garment moved to cut."""
    buy(house, house.satin)
    buy(house, house.interfacing)
    pay(house, order, accept(house, order).deposit)
    return orders.move_garment(garment=garment_of(order), to="cut", by=house.owner, now=NOW)


def tick_all(house: House, garment: Garment) -> None:
    made = garment.drafts.get(superseded_at=None)
    for line in made.cutting_lines.order_by("position"):
        orders.tick_cutting_line(line=line, by=house.apprentice, now=NOW)


def to_sew(house: House, order: Order) -> Garment:
    garment = to_cut(house, order)
    tick_all(house, garment)
    return orders.move_garment(garment=garment, to="sew", by=house.apprentice, now=NOW)


def hold(house: House, garment: Garment, outcome: str = "fits", *, after: timedelta = timedelta(days=9)):
    """A fitting that was held, as a stored row: planning has the services."""
    starts_at = NOW + after
    return Fitting.objects.create(
        workshop=house.workshop,
        garment=garment,
        fitter=house.owner,
        starts_at=starts_at,
        ends_at=starts_at + timedelta(minutes=45),
        held_at=starts_at,
        outcome=outcome,
        created_at=NOW,
    )
