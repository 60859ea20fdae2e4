"""The estimate of one garment: lines that say where they come from and sum to the price to the minor unit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import ceil
from typing import Any

from costing.errors import BadAmount
from costing.rules import overhead
from costing.rules.labour import Group, Operation, minutes_by_group
from costing.rules.learning import average_time
from costing.rules.materials import ClothNeed, bought_mm, cloth_cost, metres
from costing.rules.money import ZERO, next_step, refuse_no_number, rounded
from costing.rules.tax import TaxedLine, TaxKey, Totals, TotalsDisagree, net_of, totals
from costing.rules.thread import WASTE, reels, thread_mm

RULES = "2"
"""Version of the rules, stored with each estimate; raised when the same inputs would give another price."""


class LineKind(StrEnum):
    """What a line of an estimate is for."""

    CLOTH = "cloth"
    NOTION = "notion"
    THREAD = "thread"
    LABOUR = "labour"
    OVERHEAD = "overhead"
    PROFIT = "profit"
    RUSH = "rush"
    DISCOUNT = "discount"
    MINIMUM = "minimum"
    FRIENDLY = "friendly"
    TAX = "tax"
    ROUNDING = "rounding"


COST_KINDS = frozenset({LineKind.CLOTH, LineKind.NOTION, LineKind.THREAD, LineKind.LABOUR, LineKind.OVERHEAD})


@dataclass(frozen=True, slots=True)
class EstimateLine:
    """One line: what, how much of it, at what price, and why. ``amount`` is rounded to the minor unit.

    ``ref`` tells apart what has no other key: of a cloth, its row in the price list.
    """

    kind: LineKind
    what: str
    quantity: Decimal
    unit: str
    unit_price: Decimal
    amount: Decimal
    why: str
    ref: str = ""


@dataclass(frozen=True, slots=True)
class NotionUse:
    """What is bought by the piece for a garment; ``kind`` is NOTION or THREAD."""

    name: str
    quantity: Decimal
    unit: str
    unit_price: Decimal
    why: str = ""
    kind: LineKind = LineKind.NOTION


@dataclass(frozen=True, slots=True)
class HourRates:
    """What an hour of work costs: the wage, and the share of the month's overhead that it carries.

    ``why`` says what that share is of.
    """

    wage: Decimal
    overhead: Decimal
    why: str = "the month's overhead over its hours of work"

    def __post_init__(self) -> None:
        refuse_no_number(self.wage, field="hourly_wage")
        refuse_no_number(self.overhead, field="hourly_wage")
        if self.wage < 0 or self.overhead < 0:
            raise BadAmount("A wage and an overhead cannot be negative.", field="hourly_wage")


@dataclass(frozen=True, slots=True)
class Pricing:
    """How a cost becomes a price. Shares are fractions: 0.15 = 15 %.

    Args:
        margin: profit as a share of the price without tax, before rush and discount.
        markup: profit as a share of the cost, in the place of the margin; None where the margin is meant.
        rush: added for a date that pushes others aside, share of the price.
        discount: taken off, share of the price.
        minimum: no garment leaves for less, tax included.
        friendly_step: the price, tax included, is raised to a multiple of this; 0 leaves it.
        tax: group of the garment.
        tax_label: what the workshop calls its tax.
        deposit: share of the price asked for before cutting.
        quantity: garments alike made together.
        learning_rate: 0.9 = each doubling of the quantity takes the average time to 90 %.
    """

    margin: Decimal
    tax: TaxKey
    tax_label: str = "tax"
    rush: Decimal = ZERO
    discount: Decimal = ZERO
    minimum: Decimal = ZERO
    friendly_step: Decimal = ZERO
    deposit: Decimal = Decimal("0.5")
    quantity: int = 1
    learning_rate: float = 1.0
    markup: Decimal | None = None

    def __post_init__(self) -> None:
        for name in ("margin", "rush", "discount", "deposit", "minimum", "friendly_step", "markup"):
            refuse_no_number(getattr(self, name), field=name)
        for name in ("rush", "discount", "deposit"):
            if not 0 <= getattr(self, name) <= 1:
                raise BadAmount(f"The {name} must be from 0 to 100 %.", field=name)
        if not 0 <= self.margin < 1:
            raise BadAmount("The profit margin must be from 0 to below 100 %.", field="margin")
        if self.minimum < 0 or self.friendly_step < 0:
            raise BadAmount("A minimum price and a rounding step cannot be negative.", field="minimum_price")
        if self.markup is not None and not 0 <= self.markup <= overhead.GREATEST_MARKUP:
            raise BadAmount("A markup is from 0 to 1,000 % on cost.", field="profit_percent")

    def price(self, cost: Decimal) -> Decimal:
        """The price before rush, discount and tax that a cost makes, unrounded."""
        if self.markup is not None:
            return cost * (1 + self.markup)
        return overhead.price_with_margin(cost, self.margin)

    @property
    def profit_words(self) -> str:
        """The profit both ways, the one that was meant first: margin and markup are never confused."""
        if self.markup is not None:
            share = overhead.margin_from_markup(self.markup)
            return f"{self.markup:.1%} on cost, which is {share:.1%} of the price"
        share = overhead.markup_from_margin(self.margin)
        return f"{self.margin:.1%} of the price, which is {share:.1%} on cost"

    def to_json(self) -> dict[str, Any]:
        """As an estimate keeps it, so that what its price should have been is reckoned by its own rules."""
        return {
            "margin": str(self.margin),
            "markup": None if self.markup is None else str(self.markup),
            "rush": str(self.rush),
            "discount": str(self.discount),
            "minimum": str(self.minimum),
            "friendly_step": str(self.friendly_step),
            "tax_rate": str(self.tax.rate),
            "tax_label": self.tax_label,
            "deposit": str(self.deposit),
        }

    @classmethod
    def read(cls, stored: Mapping[str, Any]) -> Pricing:
        """The pricing of one garment that ``to_json`` wrote."""
        return cls(
            margin=Decimal(stored["margin"]),
            markup=None if stored["markup"] is None else Decimal(stored["markup"]),
            rush=Decimal(stored["rush"]),
            discount=Decimal(stored["discount"]),
            minimum=Decimal(stored["minimum"]),
            friendly_step=Decimal(stored["friendly_step"]),
            tax=TaxKey.of(Decimal(stored["tax_rate"])),
            tax_label=stored["tax_label"],
            deposit=Decimal(stored["deposit"]),
        )


@dataclass(frozen=True, slots=True)
class Estimate:
    """The price of one garment.

    Args:
        lines: every line, tax and rounding included; they sum to ``total``.
        minutes: work on one garment, whole minutes.
        cost: cloth, notions, thread, labour and overhead.
        totals: net, tax and gross.
        deposit: asked for before cutting, of ``total``.
        cautions: what the owner should look at before she sends it.

    Raises: TotalsDisagree unless the lines sum to the total.
    """

    currency: str
    lines: tuple[EstimateLine, ...]
    minutes: int
    cost: Decimal
    totals: Totals
    deposit: Decimal
    quantity: int = 1
    cautions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if sum((line.amount for line in self.lines), ZERO) != self.total:
            raise TotalsDisagree("The lines of this estimate do not sum to its total.")

    @property
    def net(self) -> Decimal:
        return self.totals.net

    @property
    def tax(self) -> Decimal:
        return self.totals.tax

    @property
    def total(self) -> Decimal:
        """The price that the customer pays for one garment."""
        return self.totals.payable

    @property
    def profit(self) -> Decimal:
        """What is left of the net price after all costs; negative where a discount eats into them."""
        return self.net - self.cost

    @property
    def margin(self) -> Decimal | None:
        """Profit as a share of the net price; None without a price."""
        return overhead.margin(cost=self.cost, price=self.net) if self.net > 0 else None

    @property
    def markup(self) -> Decimal | None:
        """Profit as a share of the cost; None without a cost."""
        return overhead.markup(cost=self.cost, price=self.net) if self.cost > 0 else None


def estimate(
    *,
    currency: str,
    cloths: Sequence[ClothNeed],
    notions: Sequence[NotionUse],
    operations: Sequence[Operation],
    rates: HourRates,
    pricing: Pricing,
    cautions: Sequence[str] = (),
) -> Estimate:
    """Return the estimate of one garment.

    The order is: costs, profit, rush, discount, then up to the minimum and to a friendly price (both with
    tax), then tax. Where no net amount makes the friendly price exactly, the last minor unit is a rounding
    line.

    Raises: BadAmount, UnknownCurrency.

    Source: price = cost / (1 - margin) or cost x (1 + markup), OpenStax, Principles of Marketing; tax and
    rounding amount, EN 16931.
    """
    cost_lines = (
        *(_cloth_line(need, currency) for need in cloths),
        *(_notion_line(use, currency) for use in notions),
        *_labour_lines(operations, rates, pricing, currency),
    )
    cost = _sum(cost_lines)
    price_lines = (*cost_lines, *_price_lines(cost, pricing, currency))
    raised = (*price_lines, *_raising_lines(_sum(price_lines), pricing, currency))
    net = _sum(raised)
    rounding = _agreed(_sum(price_lines), pricing, currency)[1]
    made = totals([TaxedLine(net, pricing.tax)], currency=currency, rounding=rounding)
    return Estimate(
        currency=currency,
        lines=(*raised, *_tax_lines(made, pricing)),
        minutes=sum(_whole_minutes(minutes) for minutes in _minutes(operations, pricing).values()),
        cost=cost,
        totals=made,
        deposit=rounded(made.payable * pricing.deposit, currency),
        quantity=pricing.quantity,
        cautions=(*cautions, *_cautions(net, cost)),
    )


def thread_use(
    operations: Iterable[Operation],
    *,
    reel_metres: float,
    price_each: Decimal,
    name: str,
    waste: float = WASTE,
) -> NotionUse:
    """Return the reels of thread that a list of operations takes. Raises: BadAmount."""
    length = thread_mm((row for operation in operations for row in operation.stitched), waste=waste)
    count = reels(length, reel_metres=reel_metres)
    why = f"{length / 1000:.0f} m of thread with {waste:.0%} waste, reels of {reel_metres:g} m"
    return NotionUse(
        name, Decimal(count), "reel" if count == 1 else "reels", price_each, why, LineKind.THREAD
    )


def _sum(lines: Iterable[EstimateLine]) -> Decimal:
    return sum((line.amount for line in lines), ZERO)


def _cloth_line(need: ClothNeed, currency: str) -> EstimateLine:
    return EstimateLine(
        LineKind.CLOTH,
        f"{need.name} ({need.role})",
        metres(bought_mm(need.length_mm, need.increment_mm)),
        "m",
        need.price_per_metre,
        cloth_cost(need, currency),
        need.why or f"laid over {need.length_mm / 1000:.2f} m, sold by {need.increment_mm / 10:g} cm",
        need.ref,
    )


def _notion_line(use: NotionUse, currency: str) -> EstimateLine:
    refuse_no_number(use.quantity, field="quantity")
    refuse_no_number(use.unit_price, field="quantity")
    if use.quantity < 0 or use.unit_price < 0:
        raise BadAmount(f"{use.name}: quantity and price cannot be negative.", field="quantity")
    amount = rounded(use.quantity * use.unit_price, currency)
    return EstimateLine(use.kind, use.name, use.quantity, use.unit, use.unit_price, amount, use.why)


_WORK_NAMES = {
    Group.CUT: "Cutting",
    Group.PREPARE: "Preparing",
    Group.SEW: "Sewing",
    Group.PRESS: "Pressing",
    Group.FINISH: "Finishing by hand",
    Group.FIT: "Fitting",
}


def _minutes(operations: Sequence[Operation], pricing: Pricing) -> dict[Group, float]:
    """Minutes of one garment by group; of several alike, their average."""
    sums = minutes_by_group(operations)
    share = average_time(1.0, quantity=pricing.quantity, rate=pricing.learning_rate)
    return {group: sums[group] * share for group in Group if group in sums}


def _whole_minutes(minutes: float) -> int:
    return ceil(round(minutes, 6))


def _hours(minutes: int) -> Decimal:
    """Hours to a hundredth: what the line shows is what it multiplies."""
    return (Decimal(minutes) / 60).quantize(Decimal("0.01"))


def _labour_lines(
    operations: Sequence[Operation], rates: HourRates, pricing: Pricing, currency: str
) -> Iterator[EstimateLine]:
    whole = 0
    for group, minutes in _minutes(operations, pricing).items():
        steps = sum(1 for operation in operations if operation.group is group)
        each = _whole_minutes(minutes)
        whole += each
        why = f"{each} min in {steps} {'step' if steps == 1 else 'steps'} of the operation list"
        if pricing.quantity > 1:
            why += f"; average of {pricing.quantity}, {pricing.learning_rate:.0%} at each doubling"
        amount = rounded(_hours(each) * rates.wage, currency)
        yield EstimateLine(LineKind.LABOUR, _WORK_NAMES[group], _hours(each), "h", rates.wage, amount, why)
    if whole:
        hours, rate = _hours(whole), rounded(rates.overhead, currency)
        amount = rounded(hours * rate, currency)
        yield EstimateLine(LineKind.OVERHEAD, "Share of the workshop", hours, "h", rate, amount, rates.why)


def _price_lines(cost: Decimal, pricing: Pricing, currency: str) -> Iterator[EstimateLine]:
    price = rounded(pricing.price(cost), currency)
    if price != cost:
        yield _once(LineKind.PROFIT, "Profit", price - cost, pricing.profit_words)
    rush = rounded(price * pricing.rush, currency)
    if rush:
        yield _once(LineKind.RUSH, "Rush", rush, f"{pricing.rush:.1%} of {price}")
    discount = rounded((price + rush) * pricing.discount, currency)
    if discount:
        yield _once(LineKind.DISCOUNT, "Discount", -discount, f"{pricing.discount:.1%} of {price + rush}")


def _once(kind: LineKind, what: str, amount: Decimal, why: str) -> EstimateLine:
    return EstimateLine(kind, what, Decimal(1), "", amount, amount, why)


def _with_tax(net: Decimal, pricing: Pricing, currency: str) -> Decimal:
    return totals([TaxedLine(net, pricing.tax)], currency=currency).gross


def _agreed(net: Decimal, pricing: Pricing, currency: str) -> tuple[Decimal, Decimal]:
    """The net amount once raised to the minimum and a friendly price, and the rounding that is left."""
    gross = _with_tax(net, pricing, currency)
    wished = rounded(next_step(max(gross, pricing.minimum), pricing.friendly_step), currency)
    if wished == gross:
        return net, ZERO
    raised = net_of(wished, pricing.tax.rate, currency)
    return raised, wished - _with_tax(raised, pricing, currency)


def _raising_lines(net: Decimal, pricing: Pricing, currency: str) -> Iterator[EstimateLine]:
    reached = net
    gross = _with_tax(net, pricing, currency)
    if gross < pricing.minimum:
        least = net_of(rounded(pricing.minimum, currency), pricing.tax.rate, currency)
        why = f"no garment leaves for less than {rounded(pricing.minimum, currency)} with {pricing.tax_label}"
        yield _once(LineKind.MINIMUM, "Up to the minimum price", least - net, why)
        reached = least
    agreed = _agreed(net, pricing, currency)[0]
    if agreed != reached:
        why = f"to a multiple of {rounded(pricing.friendly_step, currency)} with {pricing.tax_label}"
        yield _once(LineKind.FRIENDLY, "Up to a round price", agreed - reached, why)


def _tax_lines(made: Totals, pricing: Pricing) -> Iterator[EstimateLine]:
    for group in made.groups:
        if group.key.rate:
            rate = group.key.rate / 100
            why = f"{group.key.rate:f} % of {group.net}; set by the workshop, check your local rules"
            yield EstimateLine(LineKind.TAX, pricing.tax_label, group.net, "", rate, group.tax, why)
    if made.rounding:
        why = "no amount without tax makes the round price exactly"
        yield _once(LineKind.ROUNDING, "Rounding", made.rounding, why)


def _cautions(net: Decimal, cost: Decimal) -> Iterator[str]:
    if net < cost:
        yield f"This price is {cost - net} below what the garment costs you."
