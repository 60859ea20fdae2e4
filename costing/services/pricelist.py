"""The price list: cloths, notions, and what an hour costs."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from math import isfinite
from typing import Any, TypeVar

from django.db import IntegrityError, models, transaction

from costing.errors import BadAmount, CostingError
from costing.models import Cloth, Notion, Rates
from costing.rules.care import CARE_FIELDS, PROCESSES
from costing.rules.money import GREATEST_AMOUNT, ZERO

Listed = TypeVar("Listed", Cloth, Notion)
Row = TypeVar("Row", Cloth, Notion, Rates)

CLOTH_FIELDS = (
    "use",
    "name",
    "composition",
    "supplier",
    "width_mm",
    "selvedge_mm",
    "one_way",
    "shrinkage_length",
    "shrinkage_width",
    "repeat_length_mm",
    "repeat_width_mm",
    "price_per_metre",
    "sold_by_mm",
    "days_to_come",
    "right_side",
    *CARE_FIELDS,
)
NOTION_FIELDS = ("kind", "name", "size_mm", "supplier", "price_each", "days_to_come")
OVERHEAD_FIELDS = ("rent_per_month", "power_per_month", "fuel_per_month", "wear_per_month", "other_per_month")
RATES_FIELDS = (
    "hourly_wage",
    *OVERHEAD_FIELDS,
    "hours_per_month",
    "profit_percent",
    "profit_is_markup",
    "minimum_price",
    "round_to",
    "rush_percent",
    "work_allowance",
    "thread_waste",
    "repeat_percent",
    "prices_on_learnt",
)


class ChangedMeanwhile(CostingError):
    """Somebody else changed the row after this person opened it."""


class NameTaken(CostingError):
    """The price list has another row of that name."""


LONGEST_NAME = 120
MOST_HOURS = 50_000
MOST_MARKUP = 1000
_AMOUNTS = {"price_per_metre", "price_each", "hourly_wage", "minimum_price", "round_to", *OVERHEAD_FIELDS}
_WORDS = {"name", "composition", "supplier", "right_side"}
_MAY_LACK = {"size_mm", "days_to_come"}  # a hook has no size
_CHOICES = {
    "use": Cloth.Use.values,
    "kind": Notion.Kind.values,
    **{process.field: ["", *process.treatments] for process in PROCESSES},
}
_RANGES = {
    "width_mm": (50, 6000, "A cloth is from 5 cm to 6 m wide."),
    "selvedge_mm": (0, 200, "A selvedge is from 0 to 20 cm."),
    "shrinkage_length": (0, 0.5, "A cloth shrinks by 0 to 50 %."),
    "shrinkage_width": (0, 0.5, "A cloth shrinks by 0 to 50 %."),
    "repeat_length_mm": (0, 3000, "A repeat is from 0 to 3 m."),
    "repeat_width_mm": (0, 3000, "A repeat is from 0 to 3 m."),
    "sold_by_mm": (1, 10000, "Cloth is sold by lengths from 1 mm to 10 m."),
    "days_to_come": (0, 365, "What is ordered comes within 0 to 365 days."),
    "size_mm": (0.5, 100_000_000, "A size is above zero: a length, a diameter, or the thread on a reel."),
}


def add_cloth(*, workshop: Any, today: date, **values: Any) -> Cloth:
    """Add a cloth to the price list. Raises: BadAmount, NameTaken with ``field``."""
    values = _checked(values, CLOTH_FIELDS)
    _refuse_selvedges(Cloth(**values))
    return _added(Cloth, workshop, today, values)


def edit_cloth(*, cloth: Cloth, expected_version: int, today: date, **values: Any) -> Cloth:
    """Change a cloth; what was quoted keeps its price. Raises: BadAmount, NameTaken, ChangedMeanwhile."""
    values = _checked(values, CLOTH_FIELDS)
    held = {
        "width_mm": cloth.width_mm,
        "selvedge_mm": cloth.selvedge_mm,
        "shrinkage_width": cloth.shrinkage_width,
    }
    _refuse_selvedges(Cloth(**{**held, **values}))
    return _edited(Cloth, cloth.pk, expected_version, today, values)


def add_notion(*, workshop: Any, today: date, **values: Any) -> Notion:
    """Add a notion. Raises: BadAmount, NameTaken."""
    return _added(Notion, workshop, today, _checked(values, NOTION_FIELDS))


def edit_notion(*, notion: Notion, expected_version: int, today: date, **values: Any) -> Notion:
    """Change a notion. Raises: BadAmount, NameTaken, ChangedMeanwhile."""
    return _edited(Notion, notion.pk, expected_version, today, _checked(values, NOTION_FIELDS))


@transaction.atomic
def archive_cloth(*, cloth: Cloth, now: datetime) -> Cloth:
    """Take a cloth off the list; garments that have it keep it."""
    cloth = Cloth.objects.select_for_update().get(pk=cloth.pk)
    cloth.archived_at = now
    cloth.save(update_fields=["archived_at"])
    return cloth


@transaction.atomic
def set_rates(*, workshop: Any, expected_version: int = 0, **values: Any) -> Rates:
    """Say what an hour costs and what a price must earn; version 0 = not said before.

    Raises: BadAmount with ``field``, ChangedMeanwhile.
    """
    values = _checked(values, RATES_FIELDS)
    for name in ("work_allowance", "thread_waste", "rush_percent"):
        if name in values and not (isfinite(values[name]) and 0 <= values[name] < 100):
            raise BadAmount("A share is from 0 to below 100 %.", field=name)
    _refuse_profit(values)
    repeat = values.get("repeat_percent", Decimal(100))
    if not (isfinite(repeat) and 50 <= repeat <= 100):
        raise BadAmount("A learning rate is from 50 to 100 %.", field="repeat_percent")
    hours = values.get("hours_per_month", Decimal(1))
    if not (isfinite(hours) and 0 < hours <= MOST_HOURS):
        raise BadAmount(
            f"Overhead is shared over hours: enter how many are worked in a month, up to {MOST_HOURS}.",
            field="hours_per_month",
        )
    if values.get("round_to", 1) <= 0:
        raise BadAmount("Round to the smallest coin at least.", field="round_to")
    rates = Rates.objects.select_for_update().filter(workshop=workshop).first()
    held = rates.version if rates else 0
    if held != expected_version:
        raise ChangedMeanwhile("Somebody changed the rates meanwhile; look at theirs, then save yours again.")
    if rates is None:
        return _first_rates(workshop, values)
    return _set(rates, {**values, "version": held + 1})


def _refuse_profit(values: dict[str, Any]) -> None:
    """A margin is a share of the price and stays below all of it; a markup on cost may be several times."""
    profit, is_markup = values.get("profit_percent", Decimal(0)), values.get("profit_is_markup", False)
    if not (isfinite(profit) and profit >= 0):
        raise BadAmount("A profit is zero or more.", field="profit_percent")
    if profit >= 100 and not is_markup:
        raise BadAmount(
            "A margin stays below 100 % of the price; for more than all of the cost, choose a markup.",
            field="profit_percent",
        )
    if profit > MOST_MARKUP:
        raise BadAmount(f"A markup is at most {MOST_MARKUP} % on cost.", field="profit_percent")


def _first_rates(workshop: Any, values: dict[str, Any]) -> Rates:
    try:
        with transaction.atomic():
            return Rates.objects.create(workshop=workshop, **values)
    except IntegrityError:
        raise ChangedMeanwhile(
            "Somebody has just said the rates; look at theirs, then save yours again."
        ) from None


def _checked(values: dict[str, Any], known: tuple[str, ...]) -> dict[str, Any]:
    """Return the values with the spaces around words taken off. Raises: BadAmount."""
    values = {name: value.strip() if isinstance(value, str) else value for name, value in values.items()}
    for name, value in values.items():
        if name not in known:
            raise BadAmount(f"{name} is not kept in the price list.", field=name)
        if value is None:
            if name not in _MAY_LACK:
                raise BadAmount("Fill this in.", field=name)
            continue
        if name in _RANGES:
            low, high, words = _RANGES[name]
            if not isfinite(value) or not low <= value <= high:
                raise BadAmount(words, field=name)
        if name in _AMOUNTS and not (isfinite(value) and ZERO <= value < GREATEST_AMOUNT):
            raise BadAmount("An amount is zero or more; check for a digit too many.", field=name)
        if name in _WORDS and len(value) > LONGEST_NAME:
            raise BadAmount(f"Shorten this to {LONGEST_NAME} letters.", field=name)
        if name == "name" and not value:
            raise BadAmount("Give it a name.", field=name)
        if name in _CHOICES and value not in _CHOICES[name]:
            raise BadAmount(f"Choose one of: {', '.join(filter(None, _CHOICES[name]))}.", field=name)
    return values


def _refuse_selvedges(cloth: Cloth) -> None:
    if cloth.width_mm * (1 - cloth.shrinkage_width) <= 2 * cloth.selvedge_mm:
        raise BadAmount("The two selvedges leave nothing of the width.", field="selvedge_mm")


def _added(model: type[Listed], workshop: Any, today: date, values: dict[str, Any]) -> Listed:
    try:
        with transaction.atomic():
            return model.objects.create(workshop=workshop, priced_on=today, **values)
    except IntegrityError:
        raise NameTaken(
            "The price list has, or had, one of that name; choose another name.", field="name"
        ) from None


def _edited(
    model: type[Listed], pk: int, expected_version: int, today: date, values: dict[str, Any]
) -> Listed:
    try:
        with transaction.atomic():
            row = model.objects.select_for_update().get(pk=pk)
            if row.version != expected_version:
                raise ChangedMeanwhile("Somebody changed this meanwhile; look at it, then save yours again.")
            priced = any(
                getattr(row, name) != value for name, value in values.items() if name.startswith("price")
            )
            dated = {"priced_on": today} if priced else {}
            return _set(row, {**values, **dated, "version": row.version + 1})
    except IntegrityError:
        raise NameTaken(
            "The price list has, or had, one of that name; choose another name.", field="name"
        ) from None


def _set(row: Row, values: dict[str, Any]) -> Row:
    assert isinstance(row, models.Model)
    for name, value in values.items():
        setattr(row, name, value)
    row.save(update_fields=list(values))
    return row
