"""What an order's prices carry for a rush, what is taken off them, and how a garment is taxed."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from django.db import transaction

from workshop.errors import Refusal
from workshop.orders.models import Garment, Order
from workshop.orders.services.estimating import estimate_anew
from workshop.people.models import Staff, TaxRate
from workshop.people.services import write_log
from workshop.people.services.checking import refuse_edited, require_owner, require_same_workshop

MOST_PERCENT = 100


@transaction.atomic
def set_rush_and_discount(
    *,
    order: Order,
    expected_version: int,
    rush_percent: Decimal,
    discount_percent: Decimal,
    by: Staff | None,
    now: datetime,
) -> Order:
    """Set both for all garments of an order; their estimates are reckoned anew. What was quoted stays.

    Raises: EditedMeanwhile, Refusal with ``field``; BadAmount.
    """
    require_owner(by, "set a rush or a discount")
    require_same_workshop(order.workshop, by)
    order = Order.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=order.pk)
    _refuse_cancelled(order)
    refuse_edited(order, expected_version)
    wanted = {"rush_percent": rush_percent, "discount_percent": discount_percent}
    for name, percent in wanted.items():
        if not (percent.is_finite() and 0 <= percent <= MOST_PERCENT):
            raise Refusal("A share is from 0 to 100 %.", field=name)
    before = {name: getattr(order, name) for name in wanted}
    if before == wanted:
        return order
    order.rush_percent, order.discount_percent = rush_percent, discount_percent
    order.version += 1
    order.save(update_fields=[*wanted, "version"])
    write_log(
        workshop=order.workshop,
        by=by,
        action="set rush and discount",
        row=order,
        order_id=order.pk,
        summary=f"Rush {rush_percent} %, discount {discount_percent} % on order {order.number}",
        now=now,
        before=before,
        after=wanted,
    )
    estimate_anew(order.garments.select_related("workshop").order_by("position"), now)
    return order


@transaction.atomic
def choose_tax_rate(
    *, garment: Garment, expected_version: int, tax_rate: TaxRate | None, by: Staff | None, now: datetime
) -> Garment:
    """Tax a garment by a rate of the workshop, None its usual one; reckoned anew. What was quoted stays.

    Raises: EditedMeanwhile, Refusal with ``field``; BadAmount.
    """
    require_owner(by, "choose a tax rate")
    require_same_workshop(garment.workshop, by, tax_rate)
    rows = Garment.objects.select_for_update(of=("self",)).select_related("workshop", "order", "tax_rate")
    garment = rows.get(pk=garment.pk)
    _refuse_cancelled(garment.order)
    refuse_edited(garment, expected_version)
    before = garment.tax_rate
    if before == tax_rate:
        return garment
    if tax_rate is not None and tax_rate.archived_at is not None:
        raise Refusal("That rate was taken away; choose another.", field="tax_rate")
    garment.tax_rate = tax_rate
    garment.version += 1
    garment.save(update_fields=["tax_rate", "version"])
    write_log(
        workshop=garment.workshop,
        by=by,
        action="choose tax rate",
        row=garment,
        order_id=garment.order_id,
        summary=f"{garment.title} is taxed at {tax_rate or 'the usual rate'}",
        now=now,
        before={"tax_rate": before.pk if before else None},
        after={"tax_rate": tax_rate.pk if tax_rate else None},
    )
    estimate_anew([garment], now)
    return garment


def _refuse_cancelled(order: Order) -> None:
    if order.cancelled_at is not None:
        raise Refusal("This order was cancelled; its prices stay as they were.")
