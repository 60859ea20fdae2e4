from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from costing.models import Estimate
from costing.queries import current_estimate
from costing.rules.estimate import HourRates, Pricing, estimate
from costing.rules.operation_list import operations
from costing.rules.tax import TaxKey
from costing.services import store_estimate, supersede_estimate
from tests.costing.drafts import slip
from tests.costing.papers import NOW, make_garment


def stored(garment, wage, now=NOW):
    work = operations(slip())
    reckoned = estimate(
        currency="EUR",
        cloths=[],
        notions=[],
        operations=work,
        rates=HourRates(Decimal(wage), Decimal("4.00")),
        pricing=Pricing(margin=Decimal("0.15"), tax=TaxKey.of(Decimal(16))),
    )
    row = store_estimate(
        workshop=garment.workshop,
        garment=garment,
        reckoned=reckoned,
        operations=work,
        inputs={"wage": wage},
        provisional=False,
        now=now,
    )
    return row, reckoned


def test_store_estimate_keeps_lines_that_sum_to_the_total(order):
    row, reckoned = stored(make_garment(order), "12.00")

    row.refresh_from_db()
    assert row.net == reckoned.net
    assert sum(Decimal(line["amount"]) for line in row.content["lines"]) == Decimal(row.content["total"])
    assert [step["name"] for step in row.content["operations"]] == [step.name for step in operations(slip())]


def test_store_estimate_supersedes_the_one_before(order):
    garment = make_garment(order)
    first, _ = stored(garment, "12.00")

    second, _ = stored(garment, "13.00", now=NOW + timedelta(hours=1))

    first.refresh_from_db()
    assert first.superseded_at == NOW + timedelta(hours=1)
    assert current_estimate(garment.pk) == second
    assert Estimate.objects.count() == 2


def test_supersede_estimate_leaves_none(order):
    garment = make_garment(order)
    stored(garment, "12.00")

    assert supersede_estimate(garment_id=garment.pk, now=NOW) == 1
    assert supersede_estimate(garment_id=garment.pk, now=NOW) == 0
    assert current_estimate(garment.pk) is None
