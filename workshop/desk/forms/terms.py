"""A rush and a discount on all garments of an order."""

from __future__ import annotations

from workshop.desk.editing import VersionForm
from workshop.desk.forms.numbers import NumberField
from workshop.orders.services.terms import MOST_PERCENT


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
