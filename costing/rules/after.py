"""What a garment cost in the end, and what its price should have been."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.rules.estimate import Estimate, HourRates, LineKind, NotionUse, Pricing, estimate
from costing.rules.materials import metres
from costing.rules.money import ZERO, rounded


@dataclass(frozen=True, slots=True)
class Timed:
    """One task of a garment as it went, minutes.

    Args:
        group: kind of work.
        planned: minutes that were reckoned; 0 for work that no estimate knew of (an alteration).
        spent: minutes timed; None where nobody timed it.
        done: nothing of it is left.
    """

    group: str
    planned: float
    spent: float | None
    done: bool

    @property
    def beyond(self) -> float:
        """Minutes above what was reckoned, below it negative; 0 while that is not known."""
        if self.spent is None:
            return 0.0
        return self.spent - self.planned if self.done else max(0.0, self.spent - self.planned)


def actual_cost(
    cost: Decimal,
    *,
    rates: HourRates,
    tasks: Iterable[Timed],
    cloths: Iterable[tuple[float, Decimal]],
    currency: str,
) -> Decimal:
    """Return what a garment cost: what was reckoned, with the minutes and the cloth that it took beyond that.

    Args:
        cost: as it was reckoned.
        rates: of the estimate.
        tasks: as they went; one that nobody timed counts as it was reckoned.
        cloths: length cut beyond what was laid, mm (less is negative), and its price per metre.

    Source: cost accounting's comparison of actual with standard, quantities at standard prices (common
    practice, no source).
    """
    labour = rounded(_hours_beyond(tasks) * (rates.wage + rates.overhead), currency)
    return cost + labour + sum((rounded(metres(length) * price, currency) for length, price in cloths), ZERO)


def price_for(cost: Decimal, *, pricing: Pricing, currency: str) -> Estimate:
    """Return the price that a cost makes, by the same rules as every estimate. Raises: BadAmount."""
    whole = NotionUse("all costs", Decimal(1), "", cost)
    rates = HourRates(ZERO, ZERO)
    return estimate(
        currency=currency, cloths=(), notions=[whole], operations=(), rates=rates, pricing=pricing
    )


def rates_in(lines: Sequence[Mapping[str, str]]) -> HourRates:
    """Return what an hour cost in the lines of a stored estimate; nothing where no work was in it."""
    found = {line["kind"]: Decimal(line["unit_price"]) for line in lines}
    return HourRates(found.get(LineKind.LABOUR, ZERO), found.get(LineKind.OVERHEAD, ZERO))


@dataclass(frozen=True, slots=True)
class ClothReckoned:
    """What a stored estimate charged of a cloth: price of a metre, and length, mm."""

    price_per_metre: Decimal
    length_mm: float


def cloths_reckoned(lines: Sequence[Mapping[str, str]]) -> dict[str, ClothReckoned]:
    """Return what a stored estimate charged of each cloth, by its row in the price list."""
    found: dict[str, ClothReckoned] = {}
    for line in lines:
        ref = line.get("ref", "")
        if line["kind"] == LineKind.CLOTH and ref:
            before = found[ref].length_mm if ref in found else 0.0
            length = before + float(line["quantity"]) * 1000
            found[ref] = ClothReckoned(Decimal(line["unit_price"]), length)
    return found


def carried_overhead(
    lines: Sequence[Mapping[str, str]], *, rates: HourRates, tasks: Iterable[Timed], currency: str
) -> Decimal:
    """Return the overhead in what a garment cost: as reckoned, and of the hours that it took beyond."""
    planned = sum((Decimal(line["amount"]) for line in lines if line["kind"] == LineKind.OVERHEAD), ZERO)
    return planned + rounded(_hours_beyond(tasks) * rates.overhead, currency)


def _hours_beyond(tasks: Iterable[Timed]) -> Decimal:
    return Decimal(str(round(sum(task.beyond for task in tasks), 3))) / 60
