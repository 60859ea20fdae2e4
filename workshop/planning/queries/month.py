"""The workshop's own month: the hours that it worked, and what these carried of its overhead."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from costing.models import Rates
from costing.rules.money import ZERO, rounded
from costing.rules.overhead import break_even, overhead_balance, overhead_rate
from workshop.people.models import Workshop
from workshop.planning.models import TimeEntry
from workshop.planning.queries.earnings import StyleEarnings, profit_by_style

MONTHS = 3
"""The months whose average is shown: one holiday makes no year."""


@dataclass(frozen=True, slots=True)
class Month:
    """Hours said and hours timed, and the overhead that they carry.

    Args:
        overhead: of a month, as the owner says it.
        rate: overhead of an hour by the hours that she says.
        timed: hours timed in a month, the average of the last whole ones; None where nothing was.
        uncarried: overhead of a month that the timed hours leave uncarried; negative where they carry more.
        garments: how many a month pay the overhead, at what delivered ones brought in; None where not known.
    """

    overhead: Decimal
    rate: Decimal
    said: Decimal
    timed: Decimal | None
    uncarried: Decimal | None
    garments: int | None
    delivered: int


def month_of(workshop: Workshop, rates: Rates | None, now: datetime) -> Month | None:
    """Return what the workshop's month comes to; None before the owner has said what an hour costs."""
    if rates is None:
        return None
    overhead = sum(rates.overhead.values(), ZERO)
    rate = overhead_rate(rates.overhead, rates.hours_per_month)
    timed = _timed_hours(workshop, now)
    styles = profit_by_style(workshop)
    return Month(
        overhead=overhead,
        rate=rounded(rate, workshop.currency),
        said=rates.hours_per_month,
        timed=timed,
        uncarried=None
        if timed is None
        else rounded(overhead_balance(applied=timed * rate, actual=overhead), workshop.currency),
        garments=_break_even(overhead, styles),
        delivered=sum(row.garments for row in styles),
    )


def _break_even(overhead: Decimal, styles: list[StyleEarnings]) -> int | None:
    """Garments a month whose prices, less all costs but overhead, pay the overhead. None where none does."""
    count = sum(row.garments for row in styles)
    if not count:
        return None
    price = sum((row.price for row in styles), ZERO) / count
    variable = sum((row.variable_cost for row in styles), ZERO) / count
    if price <= variable:
        return None
    return break_even(fixed_costs=overhead, price=price, variable_cost=variable)


def _timed_hours(workshop: Workshop, now: datetime) -> Decimal | None:
    """Hours a month that were timed, over the last whole months since the first of them; None for none."""
    last = workshop.day_of(now).replace(day=1)
    first = _months_before(last, MONTHS)
    entries = TimeEntry.objects.filter(workshop=workshop, ended_at__isnull=False)
    days = [
        (workshop.day_of(entry.started_at), entry.ended_at - entry.started_at)
        for entry in entries.order_by("started_at", "pk")
        if entry.ended_at is not None
    ]
    held = [(day, span) for day, span in days if first <= day < last]
    if not held:
        return None
    oldest = held[0][0]
    months = (last.year - oldest.year) * 12 + last.month - oldest.month
    hours = sum((span for _, span in held), timedelta()) / timedelta(hours=1)
    return Decimal(str(round(hours / months, 1)))


def _months_before(day: date, months: int) -> date:
    number = day.year * 12 + day.month - 1 - months
    return date(number // 12, number % 12 + 1, 1)
