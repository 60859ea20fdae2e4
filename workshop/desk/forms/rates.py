"""What an hour costs, and what a price must earn."""

from __future__ import annotations

from typing import Any

from django import forms

from costing.services.pricelist import MOST_MARKUP, OVERHEAD_FIELDS
from workshop.desk.forms.numbers import NumberField
from workshop.desk.forms.prices import PricedForm

MARGIN, MARKUP = "margin", "markup"


def _percent(label: str, *, most: int = 99, least: int = 0, **more: Any) -> NumberField:
    return NumberField(min_value=least, max_value=most, max_digits=6, decimal_places=2, label=label, **more)


class RatesForm(PricedForm):
    amounts = ("hourly_wage", *OVERHEAD_FIELDS, "minimum_price", "round_to")
    hourly_wage = forms.CharField(max_length=30, label="Wage of an hour")
    rent_per_month = forms.CharField(max_length=30, label="Rent of a month")
    power_per_month = forms.CharField(max_length=30, label="Power of a month")
    fuel_per_month = forms.CharField(
        max_length=30, label="Fuel of a month", help_text="Heating, a generator, the way to fittings."
    )
    wear_per_month = forms.CharField(
        max_length=30,
        label="Wear of machines in a month",
        help_text="Needles, oil, repair, and what is laid by for the next machine.",
    )
    other_per_month = forms.CharField(
        max_length=30, label="All else of a month", help_text="Telephone, insurance, fees, cleaning."
    )
    hours_per_month = NumberField(
        min_value=0,
        max_digits=7,
        decimal_places=2,
        label="Hours worked in a month, all together",
        help_text="Hours at garments, of everybody: these carry the overhead.",
    )
    profit_percent = _percent("Profit, %", most=MOST_MARKUP)
    profit_as = forms.ChoiceField(
        label="Profit is reckoned as",
        choices=[
            (MARGIN, "margin: a share of the price before tax"),
            (MARKUP, "markup: a share on cost"),
        ],
        help_text="Not the same: 20 % of the price is 25 % on cost. Every estimate shows both.",
    )
    rush_percent = _percent("A rush adds, %", help_text="Of the price before tax, where an order is rushed.")
    minimum_price = forms.CharField(max_length=30, label="No garment below")
    round_to = forms.CharField(max_length=30, label="Round prices up to multiples of")
    work_allowance = _percent(
        "Allowance on work, %", help_text="Rest and small delays, on top of the working time."
    )
    thread_waste = _percent("Thread wasted, %")
    repeat_percent = _percent(
        "Repeats, %",
        most=100,
        least=50,
        help_text="Garments alike: each doubling of their number takes their average time to this share.",
    )
    prices_on_learnt = forms.BooleanField(
        required=False,
        label="Reckon prices from learnt minutes: as timed work corrects the standard ones",
    )

    def wanted(self) -> dict[str, Any]:
        """The rates as the service takes them, of a valid form."""
        data = dict(self.cleaned_data)
        data.pop("expected_version")
        data["profit_is_markup"] = data.pop("profit_as") == MARKUP
        return data
