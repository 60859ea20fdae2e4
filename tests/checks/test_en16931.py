"""Totals of invoices against EN 16931, and decimals against ISO 4217.

Sources: the validation rules and examples of EN 16931 published by the European Commission (UBL examples,
release 1.3.16); ISO 4217 list one.
"""

from __future__ import annotations

import csv
import json
from decimal import Decimal
from pathlib import Path

import pytest

from costing.rules.money import MINOR_UNITS
from costing.rules.tax import Adjustment, TaxedLine, TaxKey, tax_on, totals

INVOICING = Path(__file__).parents[2].parent / "shared" / "data" / "invoicing"


def test_tax_is_rounded_once_a_group():
    """Three lines of 1.02 at 21 %: 3.06 x 0.21 = 0.6426, where line by line it would be 0.63."""
    key = TaxKey("S", Decimal(21))

    made = totals([TaxedLine(Decimal("1.02"), key)] * 3, currency="EUR")

    assert made.tax == Decimal("0.64")
    assert sum(tax_on(Decimal("1.02"), key.rate, "EUR") for _ in range(3)) == Decimal("0.63")


# Two examples of the release, so that a fresh clone checks more than one rule: two rates; allowance, charge,
# prepaid and an exempt group (BT-92, BT-99, BT-113).
def test_totals_of_the_two_rate_example():
    made = totals(
        [
            TaxedLine(Decimal("183.23"), TaxKey("S", Decimal(6))),
            TaxedLine(Decimal("46.37"), TaxKey("S", Decimal(21))),
        ],
        currency="EUR",
    )

    assert [group.tax for group in made.groups] == [Decimal("10.99"), Decimal("9.74")]
    assert (made.net, made.tax, made.gross) == (Decimal("229.60"), Decimal("20.73"), Decimal("250.33"))


def test_totals_of_the_example_with_allowance_charge_and_prepaid():
    full, low, exempt = TaxKey("S", Decimal(25)), TaxKey("S", Decimal(15)), TaxKey("E", Decimal(0))
    nets = [("1273.00", full), ("-3.96", low), ("4.96", low), ("-25.00", exempt), ("187.50", full)]

    made = totals(
        [TaxedLine(Decimal(net), key) for net, key in nets],
        currency="NOK",
        adjustments=[
            Adjustment(Decimal("100.00"), full),
            Adjustment(Decimal("100.00"), full, is_charge=True),
        ],
        prepaid=Decimal("1000.00"),
    )

    assert (made.net, made.tax, made.gross, made.due) == (
        Decimal("1436.50"),
        Decimal("365.28"),
        Decimal("1801.78"),
        Decimal("801.78"),
    )


def published_examples():
    path = INVOICING / "en16931_ubl_examples.json"
    if not path.exists():
        return [pytest.param(None, marks=pytest.mark.skip(reason="../shared/data/invoicing is not there"))]
    examples = json.loads(path.read_text())["examples"]
    assert len(examples) == 19
    return [pytest.param(example, id=Path(example["file"]).stem) for example in examples]


def key_of(row):
    return TaxKey(row["cat"], Decimal(row["rate"] or 0).normalize())


@pytest.mark.parametrize("example", published_examples())
def test_totals_of_each_published_example(example):
    printed = {name: Decimal(value or 0) for name, value in example["totals"].items()}

    made = totals(
        [TaxedLine(Decimal(line["net"]), key_of(line)) for line in example["lines"]],
        currency=example["currency"],
        adjustments=[
            Adjustment(Decimal(row["amount"]), key_of(row), is_charge=row["charge"] in {"true", "1"})
            for row in example["allowances"]
        ],
        prepaid=printed["PrepaidAmount"],
        rounding=printed["PayableRoundingAmount"],
    )

    assert {(group.key, group.net, group.tax) for group in made.groups} == {
        (key_of(row), Decimal(row["taxable"]), Decimal(row["tax"])) for row in example["vat"]
    }
    assert made.lines_net == printed["LineExtensionAmount"]
    assert made.allowances == printed["AllowanceTotalAmount"]
    assert made.charges == printed["ChargeTotalAmount"]
    assert made.net == printed["TaxExclusiveAmount"]
    assert made.tax == Decimal(example["tax_total"])
    assert made.gross == printed["TaxInclusiveAmount"]
    assert made.due == printed["PayableAmount"]


NO_DECIMALS = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
THREE_DECIMALS = "BHD IQD JOD KWD LYD OMR TND"


def test_minor_units_of_iso_4217():
    assert sorted(code for code, units in MINOR_UNITS.items() if units == 0) == NO_DECIMALS.split()
    assert sorted(code for code, units in MINOR_UNITS.items() if units == 3) == THREE_DECIMALS.split()
    assert {MINOR_UNITS[code] for code in ("EUR", "USD", "KES", "INR", "GBP", "NGN", "HUF")} == {2}


def test_minor_units_of_the_whole_list():
    path = INVOICING / "iso4217_minor_units.csv"
    if not path.exists():
        pytest.skip("the whole list of ISO 4217 is not here: a fresh clone has no ../shared/data/invoicing")
    with path.open(newline="") as file:
        listed = {row["code"]: row["minor_units"] for row in csv.DictReader(file)}

    assert {code: int(units) for code, units in listed.items() if units != "N.A."} == MINOR_UNITS
