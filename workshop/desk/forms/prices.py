"""The price list: cloths, notions, rates, and stock."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms

from costing.errors import CostingError
from costing.models import Cloth, Notion
from costing.rules.money import read_amount
from drafting.errors import BadMeasurement
from drafting.units import Unit, format_length, parse_length

CLOTH_LENGTHS = ("width_mm", "selvedge_mm", "repeat_length_mm", "repeat_width_mm")
SHARES = ("shrinkage_length", "shrinkage_width")


class PricedForm(forms.Form):
    """Reads lengths in the workshop's unit and amounts in its currency."""

    lengths: tuple[str, ...] = ()
    amounts: tuple[str, ...] = ()
    expected_version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, unit: Unit, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.unit, self.currency = unit, currency
        for name in self.lengths:
            self.fields[name].label = f"{self.fields[name].label}, {unit}"
        for name in self.amounts:
            self.fields[name].label = f"{self.fields[name].label}, {currency}"

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        for name in self.lengths:
            if data.get(name):
                self._read(name, data, lambda text: parse_length(text, self.unit))
            elif name in data:
                data[name] = None
        for name in self.amounts:
            if name in data:
                self._read(name, data, lambda text: read_amount(text, self.currency))
        return data

    def _read(self, name: str, data: dict[str, Any], read: Any) -> None:
        try:
            data[name] = read(data[name])
        except (BadMeasurement, CostingError) as refusal:
            self.add_error(name, str(refusal))

    def values(self, names: Iterable[str]) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in names if name in self.cleaned_data}


class ClothForm(PricedForm):
    lengths = CLOTH_LENGTHS
    amounts = ("price",)
    use = forms.ChoiceField(choices=Cloth.Use.choices, label="Used as")
    name = forms.CharField(max_length=120)
    composition = forms.CharField(max_length=120, required=False, help_text="65 % wool, 35 % silk")
    supplier = forms.CharField(max_length=120, required=False)
    width_mm = forms.CharField(max_length=30, label="Width with selvedges")
    selvedge_mm = forms.CharField(max_length=30, label="Selvedge each side", required=False)
    one_way = forms.BooleanField(required=False, label="One way (nap or print): all pieces the same way up")
    shrinkage_length = forms.DecimalField(
        min_value=0, max_value=50, required=False, label="Shrinks in length, %"
    )
    shrinkage_width = forms.DecimalField(
        min_value=0, max_value=50, required=False, label="Shrinks in width, %"
    )
    repeat_length_mm = forms.CharField(max_length=30, required=False, label="Repeat along the cloth")
    repeat_width_mm = forms.CharField(max_length=30, required=False, label="Repeat across the cloth")
    price = forms.CharField(max_length=30, label="Price")
    sold_by = forms.ChoiceField(label="Sold by")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.per = "yard" if self.unit is Unit.IN else "metre"
        self.fields["price"].label = f"Price of a {self.per}, {self.currency}"
        self.fields["sold_by"].choices = self._steps()  # type: ignore[attr-defined]  # a ChoiceField

    def _steps(self) -> list[tuple[str, str]]:
        if self.unit is Unit.IN:
            return [("114.3", "eighths of a yard"), ("228.6", "quarters of a yard"), ("914.4", "whole yards")]
        return [("100", "10 cm"), ("500", "50 cm"), ("1000", "whole metres"), ("10", "the centimetre")]

    @property
    def metres_in_unit(self) -> float:
        return 0.9144 if self.unit is Unit.IN else 1.0


class NotionForm(PricedForm):
    lengths = ("size_mm",)
    amounts = ("price_each",)
    kind = forms.ChoiceField(choices=Notion.Kind.choices)
    name = forms.CharField(max_length=120)
    size_mm = forms.CharField(
        max_length=30,
        required=False,
        label="Size",
        help_text="A zip's length, a button's diameter, the thread on a reel (500 m).",
    )
    supplier = forms.CharField(max_length=120, required=False)
    price_each = forms.CharField(max_length=30, label="Price of one")


class RatesForm(PricedForm):
    amounts = ("hourly_wage", "overhead_per_month", "minimum_price", "round_to")
    hourly_wage = forms.CharField(max_length=30, label="Wage of an hour")
    overhead_per_month = forms.CharField(
        max_length=30, label="Overhead of a month", help_text="Rent, power, fuel, wear of machines."
    )
    hours_per_month = forms.DecimalField(
        min_value=0, max_digits=7, decimal_places=2, label="Hours worked in a month, all together"
    )
    profit_margin = forms.DecimalField(
        min_value=0,
        max_value=99,
        max_digits=5,
        decimal_places=2,
        label="Profit, % of the price before tax",
        help_text="This is a margin: 20 % of the price is 25 % on cost.",
    )
    minimum_price = forms.CharField(max_length=30, label="No garment below")
    round_to = forms.CharField(max_length=30, label="Round prices up to multiples of")
    work_allowance = forms.DecimalField(
        min_value=0,
        max_value=99,
        max_digits=5,
        decimal_places=2,
        label="Allowance on work, %",
        help_text="Rest and small delays, on top of the working time.",
    )
    thread_waste = forms.DecimalField(
        min_value=0, max_value=99, max_digits=5, decimal_places=2, label="Thread wasted, %"
    )


class StockForm(forms.Form):
    KINDS = (("bought", "bought"), ("returned", "back on the shelf"), ("wasted", "spoilt"))
    kind = forms.ChoiceField(choices=KINDS, label="What happened")
    length = forms.CharField(max_length=30)
    note = forms.CharField(max_length=200, required=False)

    def __init__(self, *args: Any, unit: Unit, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.unit = unit
        self.fields["length"].label = f"Length, {unit}"

    def clean_length(self) -> float:
        try:
            return parse_length(self.cleaned_data["length"], self.unit)
        except BadMeasurement as refusal:
            raise forms.ValidationError(str(refusal)) from None


def written(mm: float | None, unit: Unit) -> str:
    """A length for the value of a field; empty where there is none."""
    return "" if not mm else format_length(mm, unit)
