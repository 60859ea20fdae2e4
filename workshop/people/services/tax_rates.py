"""Tax rates beside the usual one; which hold, and for what, is local."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from django.db import transaction

from workshop.errors import Refusal
from workshop.people.models import Staff, TaxRate, Workshop
from workshop.people.services.checking import clean_text, require_owner, require_same_workshop
from workshop.people.services.log import write_log


@transaction.atomic
def add_tax_rate(
    *,
    workshop: Workshop,
    name: str,
    percent: Decimal,
    by: Staff | None,
    now: datetime,
    zero_rated: bool = False,
) -> TaxRate:
    """Add a rate that garments may name; ``zero_rated``: taxed at 0 %, and not exempt.

    Raises: Refusal with ``field``.
    """
    require_owner(by, "add a tax rate")
    require_same_workshop(workshop, by)
    name = clean_text(name, field="name", longest=40, what="what is taxed so", required=True)
    if not (percent.is_finite() and 0 <= percent < 100):
        raise Refusal("A tax rate is from 0 to below 100 percent.", field="percent")
    if zero_rated and percent:
        raise Refusal("What is zero rated has a rate of 0 %.", field="zero_rated")
    workshop = Workshop.objects.select_for_update().get(pk=workshop.pk)
    if workshop.tax_rates.filter(name=name, archived_at=None).exists():
        raise Refusal("There is a rate of that name; give this one another.", field="name")
    if workshop.e_invoices and not (percent or zero_rated or workshop.tax_exemption):
        raise Refusal(
            "An e-invoice without tax says why: write the reason under The house first.", field="percent"
        )
    rate = TaxRate.objects.create(workshop=workshop, name=name, percent=percent, zero_rated=zero_rated)
    write_log(
        workshop=workshop,
        by=by,
        action="add tax rate",
        row=rate,
        summary=f"Added the tax rate {rate}",
        now=now,
        after={"name": name, "percent": percent, "zero_rated": zero_rated},
    )
    return rate


@transaction.atomic
def archive_tax_rate(*, rate: TaxRate, by: Staff | None, now: datetime) -> None:
    """No garment can choose it any more; those that have it keep it."""
    require_owner(by, "take away a tax rate")
    require_same_workshop(rate.workshop, by)
    rate = TaxRate.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=rate.pk)
    if rate.archived_at is not None:
        return
    rate.archived_at = now
    rate.save(update_fields=["archived_at"])
    write_log(
        workshop=rate.workshop,
        by=by,
        action="archive tax rate",
        row=rate,
        summary=f"Took away the tax rate {rate}",
        now=now,
    )
