from __future__ import annotations

import json
from decimal import Decimal

import pytest

from costing.rules.after import (
    ClothReckoned,
    Timed,
    actual_cost,
    carried_overhead,
    cloths_reckoned,
    price_for,
    rates_in,
)
from costing.rules.estimate import HourRates, NotionUse, Pricing, estimate
from costing.rules.labour import Group, Operation
from costing.rules.materials import ClothNeed
from costing.rules.tax import TaxKey

RATES = HourRates(Decimal(15), Decimal(4))
PRICING = Pricing(margin=Decimal("0.15"), tax=TaxKey.of(Decimal(21)), friendly_step=Decimal(1))


@pytest.mark.parametrize(
    ("planned", "spent", "done", "beyond"),
    [
        (60, 90, True, 30),
        (60, 45, True, -15),
        (60, 45, False, 0),  # what is left may still take its time
        (60, 75, False, 15),
        (60, None, True, 0),  # nobody timed it
        (0, 40, True, 40),  # an alteration: no estimate knew of it
    ],
)
def test_beyond_is_what_is_known_to_differ(planned, spent, done, beyond):
    assert Timed("sew", planned, spent, done).beyond == beyond


def test_actual_cost_adds_hours_and_cloth_at_the_estimates_prices():
    tasks = [Timed("sew", 60, 90, True), Timed("press", 20, 14, True)]
    cloths = [(500.0, Decimal("24.00")), (-100.0, Decimal("6.50"))]

    made = actual_cost(Decimal("200.00"), rates=RATES, tasks=tasks, cloths=cloths, currency="EUR")

    # 24 min at 19.00 an hour = 7.60; half a metre at 24.00 = 12.00; a tenth less at 6.50 = 0.65.
    assert made == Decimal("200.00") + Decimal("7.60") + Decimal("12.00") - Decimal("0.65")


def reckoned(minutes: float):
    work = [Operation("Sew all", Group.SEW, minutes)]
    return estimate(
        currency="EUR",
        cloths=[ClothNeed("shell", "satin", 3000.0, Decimal("18.50"), ref="7")],
        notions=[NotionUse("zip", Decimal(1), "", Decimal("2.40"))],
        operations=work,
        rates=RATES,
        pricing=PRICING,
    )


def stored(made) -> list[dict[str, str]]:
    return [
        {
            "kind": str(line.kind),
            "quantity": str(line.quantity),
            "unit_price": str(line.unit_price),
            "amount": str(line.amount),
            "ref": line.ref,
        }
        for line in made.lines
    ]


def test_price_should_have_been_that_of_an_estimate_with_the_true_minutes():
    held, true = reckoned(600), reckoned(660)
    lines = stored(held)

    cost = actual_cost(
        held.cost, rates=rates_in(lines), tasks=[Timed("sew", 600, 660, True)], cloths=[], currency="EUR"
    )
    priced = price_for(cost, pricing=Pricing.read(json.loads(json.dumps(PRICING.to_json()))), currency="EUR")

    assert rates_in(lines) == RATES
    assert (priced.cost, priced.net, priced.total) == (true.cost, true.net, true.total)
    assert true.total > held.total


@pytest.mark.parametrize(
    "pricing",
    [
        PRICING,
        Pricing(
            margin=Decimal(0),
            markup=Decimal("0.5"),
            tax=TaxKey.of(Decimal("5.5")),
            tax_label="TVA",
            rush=Decimal("0.25"),
            discount=Decimal("0.1"),
            minimum=Decimal(90),
            deposit=Decimal("0.4"),
        ),
    ],
)
def test_pricing_is_read_back_as_it_was_kept(pricing):
    assert Pricing.read(json.loads(json.dumps(pricing.to_json()))) == pricing


def test_cloths_reckoned_are_the_lengths_and_prices_of_the_estimate_each_cloth_once():
    lines = stored(reckoned(600))

    assert cloths_reckoned(lines) == {"7": ClothReckoned(Decimal("18.50"), 3000.0)}
    assert cloths_reckoned(lines * 2) == {"7": ClothReckoned(Decimal("18.50"), 6000.0)}


def test_carried_overhead_is_of_the_hours_reckoned_and_of_those_beyond():
    lines = stored(reckoned(600))

    made = carried_overhead(lines, rates=RATES, tasks=[Timed("sew", 600, 690, True)], currency="EUR")

    assert made == Decimal("40.00") + Decimal("6.00")  # ten hours, and one and a half, at 4.00
