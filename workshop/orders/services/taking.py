"""Taking an order and changing it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import Max

from costing import services as costing_services
from costing.models import Cloth, Quote, QuoteState
from drafting.body import size_of
from drafting.errors import BadChoice
from drafting.styles import STYLES, read_choices
from drafting.units import Unit
from workshop.errors import Refusal
from workshop.orders.models import Garment, GarmentCloth, Order, Stage
from workshop.orders.rules.ways import WISHES
from workshop.orders.services.asking import ask_for_plan
from workshop.orders.services.shelf import release_for
from workshop.orders.services.superseding import send_back_to, supersede_draft, supersede_lays
from workshop.orders.services.unjoining import dissolve_joint_lays
from workshop.people.models import Client, MeasurementSet, Staff, Wearer, Workshop
from workshop.people.services import write_log
from workshop.people.services.checking import clean_text, refuse_edited, require_owner, require_same_workshop

YEARS_AHEAD = 5
MOST_GARMENTS = 60


@dataclass(frozen=True, slots=True)
class GarmentWish:
    """A garment as it is wished for. ``cloths``: role -> (cloth, way); ``choices``: as typed, or in mm."""

    wearer: Wearer
    title: str
    style: str
    choices: Mapping[str, Any] = field(default_factory=dict)
    cloths: Mapping[str, tuple[Cloth, str]] = field(default_factory=dict)
    measurements: MeasurementSet | None = None


@transaction.atomic
def take_order(
    *,
    workshop: Workshop,
    client: Client,
    due_on: date,
    garments: Sequence[GarmentWish],
    by: Staff | None,
    now: datetime,
    occasion: str = "",
    note: str = "",
) -> Order:
    """Take an order with its garments.

    Raises: Refusal or BadChoice with ``field``: a day in the past, no garment, a wearer of another client, an
    unknown style or choice, a cloth that is not for that use.
    """
    require_same_workshop(workshop, client, by)
    Workshop.objects.select_for_update().get(pk=workshop.pk)  # numbers are given out one at a time
    refuse_day(due_on, workshop.day_of(now))
    if not garments:
        raise Refusal("An order has at least one garment.", field="garments")
    number = (Order.objects.filter(workshop=workshop).aggregate(last=Max("number"))["last"] or 0) + 1
    order = Order.objects.create(
        workshop=workshop,
        number=number,
        client=client,
        occasion=clean_text(occasion, field="occasion", longest=120, what="the occasion"),
        due_on=due_on,
        note=clean_text(note, field="note", longest=4000, what="the note"),
        created_at=now,
    )
    for wish in garments:
        _hang_up(order, wish, now)
    write_log(
        workshop=workshop,
        by=by,
        action="take order",
        row=order,
        order_id=order.pk,
        summary=f"Took order {number}, due {due_on:%d %B %Y}",
        now=now,
        after={"due_on": due_on, "garments": len(garments)},
    )
    return order


@transaction.atomic
def edit_order(
    *,
    order: Order,
    expected_version: int,
    occasion: str,
    due_on: date,
    note: str,
    by: Staff | None,
    now: datetime,
) -> Order:
    """Change occasion, due day or note.

    Raises: EditedMeanwhile where somebody changed it after ``expected_version``; Refusal with ``field``.
    """
    require_same_workshop(order.workshop, by)
    order = Order.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=order.pk)
    _refuse_cancelled(order)
    refuse_edited(order, expected_version)
    if due_on != order.due_on:
        refuse_day(due_on, order.workshop.day_of(now))
    before = {"occasion": order.occasion, "due_on": order.due_on}
    moved = due_on != order.due_on
    order.occasion = clean_text(occasion, field="occasion", longest=120, what="the occasion")
    order.due_on = due_on
    order.note = clean_text(note, field="note", longest=4000, what="the note")
    order.version += 1
    order.save(update_fields=["occasion", "due_on", "note", "version"])
    write_log(
        workshop=order.workshop,
        by=by,
        action="edit order",
        row=order,
        order_id=order.pk,
        summary=f"Changed order {order.number}" + (f": due {due_on:%d %B %Y}" if moved else ""),
        now=now,
        before=before,
        after={"occasion": order.occasion, "due_on": order.due_on},
    )
    garment = order.garments.first()
    if moved and garment is not None:
        ask_for_plan(garment.workshop)
    return order


@transaction.atomic
def add_garment(*, order: Order, wish: GarmentWish, by: Staff | None, now: datetime) -> Garment:
    """Add a garment to an order. Raises: as ``take_order``; also where the order was cancelled."""
    require_same_workshop(order.workshop, by)
    order = (
        Order.objects.select_for_update(of=("self",)).select_related("workshop", "client").get(pk=order.pk)
    )
    _refuse_cancelled(order)
    garment = _hang_up(order, wish, now)
    order.version += 1
    order.save(update_fields=["version"])
    write_log(
        workshop=order.workshop,
        by=by,
        action="add garment",
        row=garment,
        order_id=order.pk,
        summary=f"Added {garment.title}",
        now=now,
    )
    return garment


@transaction.atomic
def change_garment(
    *,
    garment: Garment,
    expected_version: int,
    title: str,
    style: str,
    choices: Mapping[str, Any],
    cloths: Mapping[str, tuple[Cloth, str]],
    by: Staff | None,
    now: datetime,
) -> Garment:
    """Change name, style, choices or cloth. What was computed from the old ones is superseded.

    Where only the way changes in which a cloth is laid, its lays are; once it is cut that changes nothing.

    Raises: EditedMeanwhile, Refusal, BadChoice with ``field``.
    """
    require_same_workshop(garment.workshop, by)
    garment = _locked(garment)
    _refuse_cancelled(garment.order)
    if garment.stage == Stage.DELIVERED:
        raise Refusal("This garment is delivered; add a new one to an order.")
    refuse_edited(garment, expected_version)
    accepted = _choices(style, choices)
    before = garment.wish(garment.cloths.all())
    before_ways = {cloth.role: cloth.way for cloth in garment.cloths.all()}
    garment.title = clean_text(title, field="title", longest=120, what="the garment's name", required=True)
    garment.style, garment.choices = style, accepted
    garment.version += 1
    _put_cloths(garment, cloths)
    after = garment.wish(garment.cloths.all())
    ways = {cloth.role: cloth.way for cloth in garment.cloths.all()}
    if before != after:
        supersede_draft(garment=garment, reason="style, choices or cloth changed", now=now)
        send_back_to(garment, Stage.DRAFT, now)
        ask_for_plan(garment.workshop)
    elif before_ways != ways and garment.stage in {Stage.MEASURE, Stage.DRAFT}:
        supersede_lays(garment=garment, reason="another way to lay its cloth", now=now)
    garment.save(update_fields=["title", "style", "choices", "version", "stage", "stage_since_at"])
    write_log(
        workshop=garment.workshop,
        by=by,
        action="change garment",
        row=garment,
        order_id=garment.order_id,
        summary=f"Changed {garment.title}",
        now=now,
        before=before,
        after=after,
    )
    return garment


@transaction.atomic
def set_measurements(
    *, garment: Garment, measurements: MeasurementSet, by: Staff | None, now: datetime
) -> Garment:
    """Let a garment stand on a measurement set of its wearer; a draft made from an older one is superseded.

    Raises: Refusal where the set is another wearer's, or the garment is delivered.
    """
    require_same_workshop(garment.workshop, measurements, by)
    garment = _locked(garment)
    _refuse_cancelled(garment.order)
    if measurements.wearer_id != garment.wearer_id:
        raise Refusal("These measurements are another wearer's.")
    if garment.stage == Stage.DELIVERED:
        raise Refusal("This garment is delivered; its measurements stay as they were.")
    if garment.measurements_id == measurements.pk:
        return garment
    supersede_draft(garment=garment, reason="new measurements", now=now)
    garment.measurements, garment.size = measurements, ""
    if garment.stage == Stage.MEASURE:
        garment.stage, garment.stage_since_at = Stage.DRAFT, now
    send_back_to(garment, Stage.DRAFT, now)
    garment.version += 1
    garment.save(update_fields=["measurements", "size", "stage", "stage_since_at", "version"])
    write_log(
        workshop=garment.workshop,
        by=by,
        action="set measurements",
        row=garment,
        order_id=garment.order_id,
        summary=f"{garment.title} stands on the measurements of {measurements.taken_on:%d %B %Y}",
        now=now,
    )
    ask_for_plan(garment.workshop)
    return garment


@transaction.atomic
def stand_in(*, garment: Garment, size: str, by: Staff | None, now: datetime) -> Garment:
    """Let a row of a size table stand in for a wearer who is not measured yet; "" lets it go again.

    What is drafted from it serves to quote a provisional price. Nothing is cut from it: the garment stays at
    measure.

    Raises: Refusal: it is measured, or cancelled; BadMeasurement: no such size.
    """
    require_same_workshop(garment.workshop, by)
    garment = _locked(garment)
    _refuse_cancelled(garment.order)
    if garment.measurements_id is not None:
        raise Refusal(f"{garment.wearer.name} is measured; no size stands in.", field="size")
    if size:
        size_of(size)
    if garment.size == size:
        return garment
    supersede_draft(garment=garment, reason="another size stands in", now=now)
    garment.size = size
    garment.version += 1
    garment.save(update_fields=["size", "version"])
    write_log(
        workshop=garment.workshop,
        by=by,
        action="stand in",
        row=garment,
        order_id=garment.order_id,
        summary=f"A size stands in for {garment.title}" if size else f"No size stands in for {garment.title}",
        now=now,
        after={"size": size},
    )
    ask_for_plan(garment.workshop)
    return garment


@transaction.atomic
def cancel_order(*, order: Order, reason: str, by: Staff | None, now: datetime) -> Order:
    """Cancel an order: its cloth is freed, its open quote withdrawn.

    Papers and payments stay, and so does the customer's page, which says that it was cancelled.

    Raises: Refusal where a garment is delivered, or it was cancelled before.
    """
    require_owner(by, "cancel an order")
    require_same_workshop(order.workshop, by)
    order = Order.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=order.pk)
    _refuse_cancelled(order)
    reason = clean_text(reason, field="reason", longest=200, what="why it is cancelled", required=True)
    garments = list(order.garments.select_for_update(of=("self",)).select_related("workshop").order_by("pk"))
    if any(garment.stage == Stage.DELIVERED for garment in garments):
        raise Refusal("A garment of this order is delivered; credit the invoice instead.")
    for garment in garments:
        dissolve_joint_lays(garment_id=garment.pk, reason=f"order {order.number} was cancelled", now=now)
    release_for([garment.pk for garment in garments], now)
    for quote in Quote.objects.filter(order=order, state__in=[QuoteState.OPEN, QuoteState.SENT]):
        costing_services.withdraw_quote(quote=quote, now=now)
    order.cancelled_at = now
    order.version += 1
    order.save(update_fields=["cancelled_at", "version"])
    write_log(
        workshop=order.workshop,
        by=by,
        action="cancel order",
        row=order,
        order_id=order.pk,
        summary=f"Cancelled order {order.number}: {reason}",
        now=now,
    )
    if garments:
        ask_for_plan(garments[0].workshop)
    return order


def _locked(garment: Garment) -> Garment:
    rows = Garment.objects.select_for_update(of=("self",)).select_related("workshop", "order", "wearer")
    return rows.get(pk=garment.pk)


def _refuse_cancelled(order: Order) -> None:
    if order.cancelled_at is not None:
        raise Refusal("This order was cancelled; take a new one.")


def refuse_day(due_on: date, today: date) -> None:
    """Raises: Refusal for a day by which nothing can be made, or that is a slip in the year."""
    if due_on < today:
        raise Refusal("That day is past; choose today or a later one.", field="due_on")
    if due_on.year > today.year + YEARS_AHEAD:
        raise Refusal(f"That is more than {YEARS_AHEAD} years away; check the year.", field="due_on")


def _choices(style: str, choices: Mapping[str, Any]) -> dict[str, Any]:
    if style not in STYLES:
        raise BadChoice(f"There is no style {style[:40]!r}; choose one of the list.", field="style")
    return read_choices(style, choices, Unit.MM)


def _hang_up(order: Order, wish: GarmentWish, now: datetime) -> Garment:
    """Make the garment of a wish, at its first stage."""
    require_same_workshop(order.workshop, wish.wearer, wish.measurements)
    if wish.wearer.client_id != order.client_id:
        raise Refusal("The wearer is in another client's book; add them to this client's.", field="wearer")
    if wish.wearer.erased_at is not None:
        raise Refusal("This wearer's data were erased; add them anew.", field="wearer")
    held = order.garments.aggregate(last=Max("position"))["last"] or 0
    if held >= MOST_GARMENTS:
        raise Refusal(f"An order has at most {MOST_GARMENTS} garments; take a second order.")
    choices = _choices(wish.style, wish.choices)
    garment = Garment.objects.create(
        workshop=order.workshop,
        order=order,
        position=held + 1,
        wearer=wish.wearer,
        title=clean_text(wish.title, field="title", longest=120, what="the garment's name", required=True),
        style=wish.style,
        choices=choices,
        stage_since_at=now,
    )
    _put_cloths(garment, wish.cloths)
    if wish.measurements is not None:
        set_measurements(garment=garment, measurements=wish.measurements, by=None, now=now)
    return garment


def _put_cloths(garment: Garment, cloths: Mapping[str, tuple[Cloth, str]]) -> None:
    require_same_workshop(garment.workshop, *(cloth for cloth, _ in cloths.values()))
    held = {row.cloth_id for row in garment.cloths.all()}
    for role, (cloth, way) in cloths.items():
        if way not in dict(WISHES):
            raise Refusal(f"There is no way of laying called {way[:20]!r}.", field=role)
        if cloth.use != role:
            raise Refusal(f"{cloth.name} is not sold as {role}; choose another cloth.", field=role)
        # What a garment is made of already stays, though it is not sold any more.
        if cloth.archived_at is not None and cloth.pk not in held:
            raise Refusal(f"{cloth.name} is no longer in the price list; choose another cloth.", field=role)
    # Lengths that were chosen on the shelf are of one cloth: another has none of them.
    lengths = {(row.role, row.cloth_id): row.lengths for row in garment.cloths.all()}
    garment.cloths.all().delete()
    GarmentCloth.objects.bulk_create(
        GarmentCloth(
            garment=garment, role=role, cloth=cloth, way=way, lengths=lengths.get((role, cloth.pk), [])
        )
        for role, (cloth, way) in cloths.items()
    )
