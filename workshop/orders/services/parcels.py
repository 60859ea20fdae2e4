"""Cloth that is ordered and on its way: it comes later, or not at all."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.db import transaction

from costing.models import Cloth
from workshop.errors import Refusal
from workshop.orders.models import Garment, Parcel
from workshop.orders.rules.buying import days_until_here
from workshop.orders.services.asking import ask_for_plan
from workshop.orders.services.buying import line_to_buy
from workshop.orders.services.shelf import lock_cloths
from workshop.orders.services.stocking import lock_waiting_for, mark_cloth_bought
from workshop.people.models import Staff, Workshop
from workshop.people.services import write_log
from workshop.people.services.checking import require_same_workshop

FURTHEST = timedelta(days=365)


class ParcelClosed(Refusal):
    """It came already, or was given up."""


@transaction.atomic
def order_listed_cloth(
    *,
    workshop: Workshop,
    cloth: Cloth,
    shown_mm: float,
    expected_on: date | None,
    by: Staff | None,
    now: datetime,
) -> Parcel:
    """Note that the length which the list shows is ordered. Its garments' cuts are held until it is expected.

    Without a day it is expected after the days that it usually takes to come.

    Raises:
        ListChanged: the list says another length now.
        Refusal: the day is past or too far away, with ``field``.
    """
    require_same_workshop(workshop, cloth, by)
    line = line_to_buy(workshop, cloth, shown_mm)
    today = workshop.day_of(now)
    usual = timedelta(days=days_until_here(cloth.days_to_come, workshop.days_to_come))
    day = today + usual if expected_on is None else expected_on
    _refuse_day(day, today)
    parcel = Parcel.objects.create(
        workshop=workshop, cloth=cloth, length_mm=line.amount, ordered_at=now, expected_on=day
    )
    parcel.garments.set(line.garments)
    _log(parcel, "order cloth", f"Ordered {_words(parcel)}, expected {day:%d.%m.%Y}", by, now)
    ask_for_plan(workshop)
    return parcel


@transaction.atomic
def expect_parcel(*, parcel: Parcel, expected_on: date, by: Staff | None, now: datetime) -> None:
    """Note another day on which a parcel is expected. Raises: ParcelClosed, Refusal with ``field``."""
    held = _locked(parcel, by)
    _refuse_day(expected_on, held.workshop.day_of(now))
    held.expected_on = expected_on
    held.save(update_fields=["expected_on"])
    _log(held, "expect cloth", f"Expecting {_words(held)} {expected_on:%d.%m.%Y}", by, now)
    ask_for_plan(held.workshop)


@transaction.atomic
def receive_parcel(*, parcel: Parcel, by: Staff | None, now: datetime) -> list[Garment]:
    """Book what came into the stock and set it aside for those that wait for it, due first.

    Returns the garments that it was set aside for. Raises: ParcelClosed.
    """
    lock_waiting_for(parcel.workshop, parcel.cloth)  # garments before cloths before parcels
    lock_cloths([parcel.cloth_id])
    held = _locked(parcel, by)
    held.came_at = now
    held.save(update_fields=["came_at"])
    served = mark_cloth_bought(
        workshop=held.workshop, cloth=held.cloth, length_mm=held.length_mm, by=by, now=now
    )
    _log(held, "receive cloth", f"{_words(held)} came", by, now)
    ask_for_plan(held.workshop)
    return served


@transaction.atomic
def give_up_parcel(*, parcel: Parcel, by: Staff | None, now: datetime) -> None:
    """Note that a parcel will not come: what it was for is to buy again. Raises: ParcelClosed."""
    held = _locked(parcel, by)
    held.given_up_at = now
    held.save(update_fields=["given_up_at"])
    _log(held, "give up cloth", f"{_words(held)} is not coming", by, now)
    ask_for_plan(held.workshop)


def _locked(parcel: Parcel, by: Staff | None) -> Parcel:
    require_same_workshop(parcel.workshop, by)
    rows = Parcel.objects.select_for_update(of=("self",)).select_related("workshop", "cloth")
    held = rows.get(pk=parcel.pk)
    if held.came_at is not None:
        raise ParcelClosed(f"{held.cloth.name} came already and lies in the stock.")
    if held.given_up_at is not None:
        raise ParcelClosed(f"{held.cloth.name} was given up already; look at what to buy.")
    return held


def _refuse_day(day: date, today: date) -> None:
    if not today <= day <= today + FURTHEST:
        raise Refusal("Say a day from today to a year ahead on which it is expected.", field="expected_on")


def _words(parcel: Parcel) -> str:
    return f"{parcel.length_mm / 1000:.2f} m of {parcel.cloth.name}"


def _log(parcel: Parcel, action: str, summary: str, by: Staff | None, now: datetime) -> None:
    write_log(
        workshop=parcel.workshop,
        by=by,
        action=action,
        row=parcel.cloth,
        summary=summary,
        now=now,
        after={"parcel": parcel.pk, "length_mm": parcel.length_mm, "expected_on": str(parcel.expected_on)},
    )
