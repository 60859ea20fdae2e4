from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.errors import BadAmount
from costing.rules.estimate import (
    COST_KINDS,
    HourRates,
    LineKind,
    NotionUse,
    Pricing,
    estimate,
    thread_use,
)
from costing.rules.labour import Group, Operation
from costing.rules.materials import ClothNeed
from costing.rules.money import is_rounded, minor_unit
from costing.rules.tax import TaxKey, TotalsDisagree
from costing.rules.thread import Stitched

NO_TAX = TaxKey.of(Decimal(0))
SATIN = ClothNeed("shell", "satin", 2710.0, Decimal("18.50"))
ZIP = NotionUse("zip 40 cm", Decimal(1), "piece", Decimal("3.20"))
WORK = (
    Operation("cut", Group.CUT, 59.5),
    Operation("sew", Group.SEW, 300.0),
    Operation("hem", Group.SEW, 60.0),
)
RATES = HourRates(wage=Decimal("12.00"), overhead=Decimal("4.25"))


def reckoned(pricing, currency="EUR", operations=WORK):
    return estimate(
        currency=currency, cloths=[SATIN], notions=[ZIP], operations=operations, rates=RATES, pricing=pricing
    )


def amounts(made):
    return {line.what: line.amount for line in made.lines}


def test_estimate_by_hand():
    """2.8 m x 18.50 = 51.80; zip 3.20; 1 h + 6 h at 12.00; 7 h at 4.25; cost 168.75; / 0.85 = 198.53."""
    made = reckoned(Pricing(margin=Decimal("0.15"), tax=NO_TAX))

    assert amounts(made) == {
        "satin (shell)": Decimal("51.80"),
        "zip 40 cm": Decimal("3.20"),
        "Cutting": Decimal("12.00"),
        "Sewing": Decimal("72.00"),
        "Share of the workshop": Decimal("29.75"),
        "Profit": Decimal("29.78"),
    }
    assert (made.cost, made.total, made.minutes) == (Decimal("168.75"), Decimal("198.53"), 420)
    assert made.deposit == Decimal("99.27")
    assert made.profit == Decimal("29.78")
    assert round(made.margin, 3) == Decimal("0.150")
    assert round(made.markup, 3) == Decimal("0.176")


def test_estimate_adds_rush_then_takes_off_the_discount():
    """198.53 + 25 % = 49.63; less 10 % of 248.16 = 24.82."""
    made = reckoned(
        Pricing(margin=Decimal("0.15"), tax=NO_TAX, rush=Decimal("0.25"), discount=Decimal("0.10"))
    )

    assert amounts(made)["Rush"] == Decimal("49.63")
    assert amounts(made)["Discount"] == Decimal("-24.82")
    assert made.total == Decimal("223.34")


def test_estimate_raises_the_price_with_tax_to_a_friendly_one():
    """198.53 at 20 % = 238.24; up to 240.00 = 200.00 + 40.00."""
    made = reckoned(
        Pricing(margin=Decimal("0.15"), tax=TaxKey.of(Decimal(20)), friendly_step=Decimal(5), tax_label="VAT")
    )

    assert amounts(made)["Up to a round price"] == Decimal("1.47")
    assert (made.net, made.tax, made.total) == (Decimal("200.00"), Decimal("40.00"), Decimal("240.00"))


def test_estimate_rounds_the_last_cent_where_tax_cannot_reach_the_price():
    """At 21 % no net amount makes 100.00."""
    pricing = Pricing(margin=Decimal(0), tax=TaxKey.of(Decimal(21)), minimum=Decimal(100))

    made = reckoned(pricing, operations=())

    assert made.total == Decimal("100.00")
    assert abs(amounts(made)["Rounding"]) == Decimal("0.01")
    assert made.totals.gross == made.net + made.tax


def test_estimate_lifts_a_small_job_to_the_minimum():
    made = reckoned(Pricing(margin=Decimal("0.15"), tax=NO_TAX, minimum=Decimal(300)))

    assert amounts(made)["Up to the minimum price"] == Decimal("101.47")
    assert made.total == Decimal("300.00")


def test_estimate_of_repeats_takes_the_average_time():
    """Two alike at 80 %: 0.8 of the time each."""
    made = reckoned(Pricing(margin=Decimal(0), tax=NO_TAX, quantity=2, learning_rate=0.8))

    assert made.minutes == 336


def test_estimate_warns_of_a_price_below_cost():
    made = reckoned(Pricing(margin=Decimal(0), tax=NO_TAX, discount=Decimal("0.5")))

    assert made.profit == Decimal("-84.38")
    assert made.cautions == ("This price is 84.38 below what the garment costs you.",)


def test_estimate_of_nothing_is_free():
    made = estimate(
        currency="XOF", cloths=[], notions=[], operations=[], rates=RATES, pricing=Pricing(Decimal(0), NO_TAX)
    )

    assert (made.total, made.lines, made.margin, made.markup) == (0, (), None, None)


def test_estimate_cannot_be_built_when_its_lines_disagree():
    made = reckoned(Pricing(margin=Decimal("0.15"), tax=NO_TAX))

    with pytest.raises(TotalsDisagree):
        replace(made, lines=made.lines[1:])


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"margin": Decimal(1)}, "margin"),
        ({"margin": Decimal("-0.1")}, "margin"),
        ({"rush": Decimal(2)}, "rush"),
        ({"discount": Decimal("1.01")}, "discount"),
        ({"deposit": Decimal(-1)}, "deposit"),
        ({"minimum": Decimal(-1)}, "minimum_price"),
        *(
            ({name: Decimal(value)}, name)
            for name in ("margin", "rush", "discount", "deposit", "minimum", "friendly_step", "markup")
            for value in ("NaN", "Infinity")
        ),
    ],
)
def test_pricing_refuses_shares_that_make_no_price(changes, field):
    with pytest.raises(BadAmount) as caught:
        Pricing(**{"margin": Decimal("0.15"), "tax": NO_TAX, **changes})

    assert caught.value.field == field


@pytest.mark.parametrize("value", ["NaN", "Infinity", "-Infinity", "-1"])
def test_estimate_refuses_what_is_no_price(value):
    bad = Decimal(value)
    free = Pricing(margin=Decimal(0), tax=NO_TAX)

    def of(*, cloth=SATIN, notion=ZIP, rates=RATES):
        return estimate(
            currency="EUR", cloths=[cloth], notions=[notion], operations=WORK, rates=rates, pricing=free
        )

    assert of().total > 0
    for wrong in (
        lambda: of(cloth=replace(SATIN, price_per_metre=bad)),
        lambda: of(notion=replace(ZIP, unit_price=bad)),
        lambda: of(notion=replace(ZIP, quantity=bad)),
        lambda: of(rates=replace(RATES, wage=bad)),
        lambda: of(rates=replace(RATES, overhead=bad)),
    ):
        with pytest.raises(BadAmount):
            wrong()


def test_thread_use_counts_reels_from_the_stitches():
    """100 m of seam at 2.5 with 15 % = 287.5 m: two reels of 200 m."""
    sewn = Operation("sew", Group.SEW, 10.0, stitched=(Stitched("301", 100_000.0),))

    use = thread_use([sewn], reel_metres=200, price_each=Decimal("2.10"), name="thread")

    assert (use.quantity, use.kind) == (2, LineKind.THREAD)
    assert use.why == "288 m of thread with 15% waste, reels of 200 m"


shares = st.decimals(min_value=0, max_value=Decimal("0.9"), places=3)


@settings(max_examples=200)
@given(
    currency=st.sampled_from(["EUR", "XOF", "KWD"]),
    length=st.floats(min_value=0, max_value=20_000),
    price=st.decimals(min_value=0, max_value=5000, places=3),
    minutes=st.lists(st.floats(min_value=0, max_value=2000), max_size=6),
    margin=shares,
    rush=shares,
    discount=shares,
    rate=st.sampled_from(["0", "5.5", "16", "18", "20", "21"]),
    minimum=st.integers(min_value=0, max_value=5000),
    step=st.sampled_from(["0", "1", "5", "500", "0.5"]),
)
def test_estimate_lines_sum_to_the_total_and_each_is_rounded(
    *, currency, length, price, minutes, margin, rush, discount, rate, minimum, step
):
    made = estimate(
        currency=currency,
        cloths=[ClothNeed("shell", "cloth", length, price)],
        notions=[NotionUse("button", Decimal(7), "pieces", price)],
        operations=[Operation(str(i), list(Group)[i], value) for i, value in enumerate(minutes)],
        rates=HourRates(price, price),
        pricing=Pricing(
            margin=margin,
            tax=TaxKey.of(Decimal(rate)),
            rush=rush,
            discount=discount,
            minimum=Decimal(minimum),
            friendly_step=Decimal(step),
        ),
    )

    assert sum(line.amount for line in made.lines) == made.total
    assert all(is_rounded(line.amount, currency) for line in made.lines)
    assert sum(line.amount for line in made.lines if line.kind in COST_KINDS) == made.cost
    assert made.totals.gross == made.net + made.tax
    assert abs(made.totals.rounding) <= minor_unit(currency)
    assert made.total >= minimum
