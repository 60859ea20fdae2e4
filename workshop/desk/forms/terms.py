"""A rush and a discount on all garments of an order, and the tax of one of them."""

from __future__ import annotations

from typing import Any

from django import forms

from workshop.desk.editing import VersionForm
from workshop.desk.forms.numbers import NumberField
from workshop.orders.models import Garment
from workshop.orders.services.terms import MOST_PERCENT
from workshop.people.models import TaxRate


class TermsForm(VersionForm):
    rush_percent = NumberField(
        min_value=0,
        max_value=MOST_PERCENT,
        decimal_places=2,
        label="Rush, % on the price",
        help_text="For a date that pushes others aside.",
    )
    discount_percent = NumberField(
        min_value=0, max_value=MOST_PERCENT, decimal_places=2, label="Discount, % off it"
    )


class TaxForm(VersionForm):
    """By which rate a garment is taxed: the workshop's usual one, or one beside it."""

    tax_rate = forms.TypedChoiceField(
        coerce=int,
        empty_value=None,
        required=False,
        label="Tax rate",
        help_text="Which rate holds for what is local: check your local rules.",
    )

    def __init__(self, *args: Any, garment: Garment, **kwargs: Any) -> None:
        held = {"tax_rate": garment.tax_rate_id or "", "expected_version": garment.version}
        super().__init__(*args, initial=held, **kwargs)
        workshop = garment.workshop
        rates = workshop.tax_rates.filter(archived_at=None).order_by("name")
        self.rates: dict[int, TaxRate] = {rate.pk: rate for rate in rates}
        if garment.tax_rate is not None:
            self.rates.setdefault(garment.tax_rate.pk, garment.tax_rate)
        usual = f"the usual rate, {workshop.tax_rate.normalize():f} %"
        self.fields["tax_rate"].choices = [("", usual), *((pk, str(rate)) for pk, rate in self.rates.items())]  # type: ignore[attr-defined]  # a choice field

    def wanted(self) -> TaxRate | None:
        return self.rates.get(self.cleaned_data["tax_rate"])
