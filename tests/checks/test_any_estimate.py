"""Any estimate's lines sum to its total to the minor unit: real drafts, drawn currencies and settings.

Not a comparison with a source: the property that every priced paper rests on, over the styles as they are.
"""

from __future__ import annotations

from decimal import Decimal
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.rules.estimate import (
    COST_KINDS,
    Estimate,
    HourRates,
    LineKind,
    NotionUse,
    Pricing,
    estimate,
    thread_use,
)
from costing.rules.learning import Correction, at_learnt_minutes
from costing.rules.materials import ClothNeed
from costing.rules.money import MINOR_UNITS, is_rounded, minor_unit
from costing.rules.operation_list import operations
from costing.rules.revising import Revision, revised
from costing.rules.tax import TaxKey
from costing.rules.worktimes import Work
from drafting import make_draft
from drafting.body import SIZES
from drafting.pattern import Draft
from drafting.styles import STYLES
from workshop.errors import REFUSALS

SIZES_TRIED = ("woman-92-168", "child-128")
ODD = ("EUR", "JPY", "KWD", "XOF", "TND", "CLF", "INR", "USD")
"""No decimals, two, three and four."""


@cache
def drafted(style: str, size: str) -> Draft | None:
    """A style in its usual choices; None where that size is refused it."""
    try:
        return make_draft(style, SIZES[size].body())
    except REFUSALS:
        return None


def amounts(most: int) -> st.SearchStrategy[Decimal]:
    return st.decimals(min_value=0, max_value=most, places=3)


shares = st.decimals(min_value=0, max_value=Decimal("0.95"), places=4)
pricings = st.builds(
    Pricing,
    margin=shares,
    markup=st.none() | st.decimals(min_value=0, max_value=10, places=4),
    tax=st.sampled_from(["0", "5.5", "7", "8.1", "16", "19", "20", "21", "25.5"]).map(
        lambda rate: TaxKey.of(Decimal(rate))
    ),
    rush=shares,
    discount=shares | st.just(Decimal(1)),
    minimum=st.integers(0, 20_000).map(Decimal),
    friendly_step=st.sampled_from(["0", "0.05", "1", "5", "9.99", "250", "10000"]).map(Decimal),
    deposit=shares,
    quantity=st.integers(1, 40),
    learning_rate=st.floats(0.5, 1.0),
)


@settings(max_examples=150, deadline=None)
@given(
    style=st.sampled_from(sorted(STYLES)),
    size=st.sampled_from([size for size in SIZES_TRIED if size in SIZES]),
    currency=st.sampled_from([*ODD, *sorted(MINOR_UNITS)]),
    lengths=st.lists(st.floats(0, 30_000), min_size=1, max_size=3),
    price=amounts(50_000),
    wage=amounts(5_000),
    allowance=st.floats(0, 0.9),
    factor=st.floats(-1.5, 1.5),
    hand=st.floats(0, 600),
    pricing=pricings,
)
def test_lines_sum_to_the_total_whatever_the_draft_the_currency_and_the_settings(
    *, style, size, currency, lengths, price, wage, allowance, factor, hand, pricing
):
    draft = drafted(style, size)
    if draft is None:
        return
    listed = operations(draft, work=Work(allowance=allowance))
    learnt = at_learnt_minutes(listed, {"plain": Correction(factor, 0.1, 5)})
    work = revised(learnt, Revision(minutes={listed[0].name: hand})).operations

    made = estimate(
        currency=currency,
        cloths=[ClothNeed(f"role {n}", "cloth", length, price) for n, length in enumerate(lengths)],
        notions=[
            NotionUse("buttons", Decimal(7), "", price),
            thread_use(work, reel_metres=500, price_each=price, name="thread"),
        ],
        operations=work,
        rates=HourRates(wage, wage / 3),
        pricing=pricing,
    )

    assert_adds_up(made, pricing)


def assert_adds_up(made: Estimate, pricing: Pricing) -> None:
    assert sum(line.amount for line in made.lines) == made.total
    assert all(is_rounded(line.amount, made.currency) for line in made.lines)
    assert sum(line.amount for line in made.lines if line.kind in COST_KINDS) == made.cost
    assert made.totals.gross == made.net + made.tax == made.total - made.totals.rounding
    assert abs(made.totals.rounding) <= minor_unit(made.currency)
    assert made.total >= pricing.minimum
    assert all(line.why for line in made.lines if line.kind not in {LineKind.NOTION})
    assert 0 <= made.deposit <= max(made.total, Decimal(0))


@pytest.mark.parametrize("style", sorted(STYLES))
def test_every_style_is_priced_with_each_line_saying_where_it_comes_from(style):
    draft = drafted(style, SIZES_TRIED[0])
    assert draft is not None
    pricing = Pricing(margin=Decimal("0.2"), tax=TaxKey.of(Decimal(21)), friendly_step=Decimal(5))

    made = estimate(
        currency="EUR",
        cloths=[ClothNeed("shell", "cloth", 2700.0, Decimal("18.50"))],
        notions=[],
        operations=operations(draft),
        rates=HourRates(Decimal(14), Decimal(4)),
        pricing=pricing,
    )

    assert_adds_up(made, pricing)
    assert made.total % 5 == 0
