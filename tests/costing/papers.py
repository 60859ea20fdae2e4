"""A workshop with an order and its quote, made by hand: costing knows orders only by their key."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

from costing.parties import Party
from costing.rules.tax import TaxedLine, TaxKey, tax_on, totals
from costing.services import accept_quote, send_quote, write_quote
from costing.services.invoices import groups_json

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
TODAY = NOW.date()
SELLER = Party(
    "Mill Lane Dressmaking",
    "12 Mill Lane\nKisumu",
    "mill@example.com",
    "+254 700 000000",
    "P0512",
    "Account 0123 4567 89,\nLake Bank Kisumu",
)
BUYER = Party("Adaeze Nwosu", "Flat 4\n27 Cloth Street")


def make_workshop(**fields):
    from workshop.people.models import Workshop

    return Workshop.objects.create(name="Mill Lane", created_at=NOW, **fields)


def make_order(workshop, number=1):
    from workshop.orders.models import Order
    from workshop.people.models import Client

    client = Client.objects.create(workshop=workshop, name=BUYER.name, created_at=NOW)
    return Order.objects.create(
        workshop=workshop,
        number=number,
        client=client,
        due_on=date(2027, 3, 20),
        created_at=NOW,
    )


def make_garment(order):
    from workshop.orders.models import Garment
    from workshop.people.models import Wearer

    wearer = Wearer.objects.create(workshop=order.workshop, client=order.client, name="Ada")
    return Garment.objects.create(
        workshop=order.workshop,
        order=order,
        position=1,
        wearer=wearer,
        title="Dress",
        style="notched-collar-dress",
        stage_since_at=NOW,
    )


def quote_content(nets, keys, made):
    return {
        "order": {"number": 1, "occasion": "Wedding", "due_on": "2027-03-20"},
        "seller": SELLER.to_json(),
        "buyer": BUYER.to_json(),
        "garments": [
            {
                "title": f"Dress {place}",
                "wearer": "Ada",
                "drawing": "",
                "choices": [["Pleats", "knife pleats"]],
                "cloths": ["shell: Satin"],
                "amount": str(net + tax_on(net, key.rate, made.currency)),
                "provisional": False,
            }
            for place, (net, key) in enumerate(zip(nets, keys, strict=True), start=1)
        ],
        "lines": [
            {"words": f"Dress {place}", "net": str(net), "category": key.category, "rate": str(key.rate)}
            for place, (net, key) in enumerate(zip(nets, keys, strict=True), start=1)
        ],
        "groups": groups_json(made),
        "tax_label": "VAT",
        "terms": "Half is due before the cloth is cut.",
    }


def make_quote(
    order,
    *,
    price=None,
    nets=(Decimal("362.07"), Decimal("206.90")),
    rate=Decimal(16),
    rates=None,
    deposit=50,
    currency="EUR",
    **content,
):
    """Write a quote; ``price`` is what was agreed, its rounding the rest; ``rates``: one a garment.

    A rate may be a tax group. ``content`` replaces what the quote keeps.
    """
    keys = [of if isinstance(of, TaxKey) else TaxKey.of(of) for of in rates or [rate] * len(nets)]
    lines = [TaxedLine(net, key) for net, key in zip(nets, keys, strict=True)]
    made = totals(lines, currency=currency)
    if price is not None:
        made = totals(lines, currency=currency, rounding=price - made.gross)
    return write_quote(
        workshop=order.workshop,
        order=order,
        content={**quote_content(nets, keys, made), **content},
        totals=made,
        deposit_share=deposit,
        valid_until_on=date(2026, 12, 16),
        now=NOW,
    )


def make_accepted_quote(order, **options):
    quote = send_quote(quote=make_quote(order, **options), now=NOW)
    return accept_quote(quote=quote, name="Adaeze Nwosu", text="I accept.", today=TODAY, now=NOW)


def issuing(**changes):
    """What every invoice needs beside its quote."""
    return {
        "seller": SELLER,
        "buyer": BUYER,
        "tax_label": "VAT",
        "today": TODAY,
        "due_on": date(2026, 12, 9),
        "now": NOW,
        **changes,
    }


def receipting(**changes):
    """What every receipt needs beside its payment."""
    return {
        "currency": "EUR",
        "seller": SELLER,
        "buyer": BUYER,
        "order_words": "Order 1",
        "today": TODAY,
        "now": NOW,
        **changes,
    }


def paying(order, amount, **changes):
    """What ``record_payment`` needs."""
    return {
        "workshop": order.workshop,
        "order": order,
        "currency": "EUR",
        "amount": Decimal(amount),
        "method": "cash",
        "received_on": TODAY,
        "today": TODAY,
        "now": NOW,
        **changes,
    }
