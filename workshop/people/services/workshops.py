"""The workshop itself: its name, its units, its terms."""

from __future__ import annotations

import re
import zoneinfo
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from costing.rules.einvoice import can_be_electronic
from costing.rules.money import MINOR_UNITS
from costing.speech import languages
from workshop.errors import Refusal
from workshop.people.models import LengthUnit, Staff, Workshop
from workshop.people.rules.holidays import countries, regions
from workshop.people.services.checking import (
    clean_email,
    clean_text,
    refuse_edited,
    require_owner,
    require_same_workshop,
)
from workshop.people.services.log import changed, write_log

EDITABLE = (
    "name",
    "address",
    "email",
    "phone",
    "tax_number",
    "vat_number",
    "tax_exemption",
    "e_invoices",
    "pay_to",
    "currency",
    "language",
    "length_unit",
    "time_zone",
    "tax_label",
    "tax_rate",
    "deposit_share",
    "deposit_before_cutting",
    "quote_valid_days",
    "quote_terms",
    "fitting_minutes",
    "fitting_notice_hours",
    "remind_days_before",
    "days_to_come",
    "country",
    "region",
    "erase_when_due",
)
MOST_DECIMALS = 3
"""Amounts are stored with so many (``costing.models``); a currency with more cannot be kept exactly."""

_TEXTS = {
    "name": (120, "the workshop's name", True),
    "address": (1000, "the address", False),
    "phone": (40, "the telephone number", False),
    "tax_number": (40, "the tax number", False),
    "vat_number": (20, "the VAT number", False),
    "tax_exemption": (200, "why no tax is charged", False),
    "pay_to": (500, "how you are paid", False),
    "tax_label": (40, "what the tax is called", False),
    "quote_terms": (4000, "the terms of a quote", False),
}


@transaction.atomic
def create_workshop(*, now: datetime, **values: Any) -> Workshop:
    """Add a workshop; any field of ``EDITABLE`` may be given, the name must be.

    Raises: Refusal with ``field``."""
    if "name" not in values:
        raise Refusal("Enter the workshop's name.", field="name")
    cleaned = _clean(values)
    _refuse_region(cleaned.get("country", ""), cleaned.get("region", ""))
    _refuse_e_invoices(Workshop(**cleaned))
    workshop = Workshop.objects.create(created_at=now, **cleaned)
    write_log(
        workshop=workshop,
        by=None,
        action="create workshop",
        row=workshop,
        summary=f"Opened {workshop.name}",
        now=now,
    )
    return workshop


@transaction.atomic
def edit_workshop(
    *, workshop: Workshop, expected_version: int, by: Staff | None, now: datetime, **values: Any
) -> Workshop:
    """Change the given fields of ``EDITABLE``; papers that were sent or issued keep what they said.

    Raises: EditedMeanwhile where somebody changed the settings or the hours after ``expected_version``;
    Refusal with ``field``, also where the currency would change under papers that name another.
    """
    require_owner(by, "change the workshop's settings")
    require_same_workshop(workshop, by)
    cleaned = _clean(values)
    workshop = Workshop.objects.select_for_update().get(pk=workshop.pk)
    refuse_edited(workshop, expected_version)
    currency = cleaned.get("currency", workshop.currency)
    if currency != workshop.currency and _has_papers(workshop):
        raise Refusal(
            f"Prices, quotes or invoices are in {workshop.currency} already: open another workshop for "
            f"{currency}.",
            field="currency",
        )
    if "country" in cleaned or "region" in cleaned:
        _refuse_region(cleaned.get("country", workshop.country), cleaned.get("region", workshop.region))
    before, after = changed({field: getattr(workshop, field) for field in cleaned}, cleaned)
    for field, value in cleaned.items():
        setattr(workshop, field, value)
    _refuse_e_invoices(workshop)
    workshop.version += 1
    workshop.save(update_fields=[*cleaned, "version"])
    write_log(
        workshop=workshop,
        by=by,
        action="edit workshop",
        row=workshop,
        summary="Changed the workshop's settings",
        now=now,
        before=before,
        after=after,
    )
    return workshop


def _refuse_region(country: str, region: str) -> None:
    """Raises: Refusal where the region is none of that country."""
    if region and region not in regions(country):
        raise Refusal("That is not a part of this country; choose one of the list.", field="region")


def _has_papers(workshop: Workshop) -> bool:
    """Whether money was written down in the present currency."""
    rows = (workshop.cloths, workshop.notions, workshop.quotes, workshop.invoices)
    return any(row.exists() for row in rows)


def _clean(values: dict[str, Any]) -> dict[str, Any]:
    unknown = [field for field in values if field not in EDITABLE]
    if unknown:
        raise Refusal(f"{unknown[0]} is not a setting of a workshop.", field=unknown[0])
    cleaned = dict(values)
    for field, (longest, what, required) in _TEXTS.items():
        if field in cleaned:
            cleaned[field] = clean_text(
                cleaned[field], field=field, longest=longest, what=what, required=required
            )
    if "vat_number" in cleaned:
        cleaned["vat_number"] = "".join(cleaned["vat_number"].split()).upper()
    if "email" in cleaned:
        cleaned["email"] = clean_email(cleaned["email"])
    _refuse_fine_currency(cleaned.get("currency", ""))
    for field, problem in _problems(cleaned).items():
        raise Refusal(problem, field=field)
    return cleaned


def _problems(values: dict[str, Any]) -> dict[str, str]:
    """The first thing wrong with each field that is given."""
    checks = {
        "currency": (
            _is_currency,
            "Write the currency with its three capital letters (ISO 4217), such as EUR.",
        ),
        "language": (
            lambda value: value in languages(),
            f"There are words for {', '.join(languages().values())}; choose one of these languages.",
        ),
        "length_unit": (
            lambda value: value in LengthUnit.values,
            "Choose inches, centimetres or millimetres.",
        ),
        "time_zone": (
            lambda value: value in zoneinfo.available_timezones(),
            "That is not a time zone; write it like Europe/Lisbon.",
        ),
        "tax_rate": (
            lambda value: _share(value) and value < 100,
            "A tax rate is from 0 to below 100 percent.",
        ),
        "deposit_share": (_share, "A deposit is from 0 to 100 percent of the price."),
        "quote_valid_days": (lambda value: 1 <= value <= 365, "A quote is valid for 1 to 365 days."),
        "fitting_minutes": (lambda value: 10 <= value <= 480, "A fitting takes 10 to 480 minutes."),
        "fitting_notice_hours": (
            lambda value: 0 <= value <= 336,
            "Customers change a fitting themselves until 0 to 336 hours (two weeks) before it.",
        ),
        "remind_days_before": (
            lambda value: 0 <= value <= 14,
            "Remind from 1 to 14 days before a fitting, or 0 for never.",
        ),
        "days_to_come": (lambda value: 0 <= value <= 365, "What is ordered comes within 0 to 365 days."),
        "country": (
            lambda value: not value or value in countries(),
            "The public holidays of that country are not known here; choose one of the list.",
        ),
    }
    return {
        field: message
        for field, (good, message) in checks.items()
        if field in values and not good(values[field])
    }


def _is_currency(code: str) -> bool:
    return code in MINOR_UNITS


def _refuse_fine_currency(code: str) -> None:
    """Raises: Refusal for the codes of account that ISO 4217 gives four decimals."""
    if MINOR_UNITS.get(code, 0) > MOST_DECIMALS:
        raise Refusal(
            f"{code} has {MINOR_UNITS[code]} decimals, and amounts are kept with {MOST_DECIMALS} at most: "
            "choose the currency in which you are paid.",
            field="currency",
        )


def _refuse_e_invoices(workshop: Workshop) -> None:
    """Raises: Refusal where invoices shall be electronic and EN 16931 asks for more of the seller."""
    if not workshop.e_invoices:
        return
    for field, lacking, words in (
        (
            "currency",
            not can_be_electronic(workshop.currency),
            f"An e-invoice has two decimals at most, those in {workshop.currency} three: leave it off.",
        ),
        ("address", not workshop.address.strip(), "An e-invoice names the workshop's address: enter it."),
        (
            "e_invoices",
            not workshop.country,
            "An e-invoice names the workshop's country: choose it on the page of public holidays first.",
        ),
        (
            "vat_number",
            not re.fullmatch("[A-Z]{2}[A-Z0-9]{2,18}", workshop.vat_number),
            "The receiver knows the seller by its VAT number: write it with the two letters of its country, "
            "such as PT123456789.",
        ),
        (
            "tax_exemption",
            _charges_none(workshop) and not workshop.tax_exemption,
            "An e-invoice without tax says why: write the reason as your local rules word it.",
        ),
    ):
        if lacking:
            raise Refusal(words, field=field)


def _charges_none(workshop: Workshop) -> bool:
    """Whether some garment may be without tax."""
    if not workshop.tax_rate or workshop._state.adding:  # a new one has no other rates
        return not workshop.tax_rate
    return workshop.tax_rates.filter(percent=0, zero_rated=False, archived_at=None).exists()


def _share(value: Decimal) -> bool:
    return Decimal(value).is_finite() and 0 <= value <= 100
