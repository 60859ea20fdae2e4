"""The workshop's own month: the hours that it worked, and what these carried of its overhead."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from django.db.models import F, Min, Sum

from costing.models import Rates
from costing.rules.money import ZERO
from costing.rules.overhead import break_even, overhead_balance, overhead_rate
from workshop.people.models import Workshop
from workshop.planning.models import TimeEntry
from workshop.planning.queries.earnings import StyleEarnings, profit_by_style
from workshop.planning.rules.calendar import whole_days

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
        rate=rate,
        said=rates.hours_per_month,
        timed=timed,
        uncarried=None if timed is None else overhead_balance(applied=timed * rate, actual=overhead),
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
    asked = whole_days(first, last - timedelta(days=1), workshop.zone)
    entries = TimeEntry.objects.filter(
        workshop=workshop, ended_at__isnull=False, started_at__gte=asked.start, started_at__lt=asked.end
    )
    found = entries.aggregate(begun_at=Min("started_at"), spent=Sum(F("ended_at") - F("started_at")))
    if found["begun_at"] is None:
        return None
    oldest = workshop.day_of(found["begun_at"])
    months = (last.year - oldest.year) * 12 + last.month - oldest.month
    return Decimal(str(round(found["spent"] / timedelta(hours=1) / months, 1)))


def _months_before(day: date, months: int) -> date:
    number = day.year * 12 + day.month - 1 - months
    return date(number // 12, number % 12 + 1, 1)
