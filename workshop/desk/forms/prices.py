"""The price list: cloths, notions, rates, and stock."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django import forms

from costing.errors import CostingError
from costing.models import Cloth, Notion
from costing.rules.care import PROCESSES
from costing.rules.money import read_amount, rounded
from drafting.errors import BadMeasurement
from drafting.units import MM_PER, Unit, format_length, parse_length
from workshop.desk.editing import VersionForm
from workshop.desk.forms.numbers import NumberField

METRES_A_YARD = Decimal(str(MM_PER[Unit.YD])) / 1000
CLOTH_LENGTHS = ("width_mm", "selvedge_mm", "repeat_length_mm", "repeat_width_mm")
LONGEST_MM = 10_000_000.0
"""Of a reel of thread or a delivery of cloth: 10 km."""
DAYS_TO_COME = "From the order; empty where it is as usual in your workshop."
SHARES = ("shrinkage_length", "shrinkage_width")


class PricedForm(VersionForm):
    """Reads lengths in the workshop's unit and amounts in its currency.

    ``held`` are the lengths, mm, that the form was opened on: one that is left as it was shown is kept
    exactly, not as it was rounded for the page.
    """

    lengths: tuple[str, ...] = ()
    amounts: tuple[str, ...] = ()
    expected_version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(
        self,
        *args: Any,
        unit: Unit,
        currency: str,
        held: Mapping[str, float | None] | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.unit, self.currency, self.held = unit, currency, held or {}
        for name in self.lengths:
            self.fields[name].label = f"{self.fields[name].label}, {unit}"
        for name in self.amounts:
            self.fields[name].label = f"{self.fields[name].label}, {currency}"

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        for name in self.lengths:
            if data.get(name):
                kept = self.held.get(name) if data[name] == self.initial.get(name) else None
                self._read(name, data, lambda text, kept=kept: kept or self._length(text))
            elif name in data:
                data[name] = None
        for name in self.amounts:
            if name in data:
                self._read(name, data, lambda text: read_amount(text, self.currency))
        return data

    def _length(self, text: str) -> float:
        return parse_length(text, self.unit, longest_mm=LONGEST_MM)

    def _read(self, name: str, data: dict[str, Any], read: Any) -> None:
        try:
            data[name] = read(data[name])
        except (BadMeasurement, CostingError) as refusal:
            self.add_error(name, str(refusal))

    def values(self, names: Iterable[str]) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in names if name in self.cleaned_data}


class ClothForm(PricedForm):
    """A cloth. Its care is asked in the order of a label, each with all that its process knows."""

    lengths = CLOTH_LENGTHS
    amounts = ("price",)
    use = forms.ChoiceField(choices=Cloth.Use.choices, label="Used as")
    name = forms.CharField(max_length=120)
    composition = forms.CharField(max_length=120, required=False, help_text="65 % wool, 35 % silk")
    supplier = forms.CharField(max_length=120, required=False)
    width_mm = forms.CharField(max_length=30, label="Width with selvedges")
    selvedge_mm = forms.CharField(max_length=30, label="Selvedge each side", required=False)
    one_way = forms.BooleanField(required=False, label="One way (nap or print): all pieces the same way up")
    shrinkage_length = NumberField(min_value=0, max_value=50, required=False, label="Shrinks in length, %")
    shrinkage_width = NumberField(min_value=0, max_value=50, required=False, label="Shrinks in width, %")
    repeat_length_mm = forms.CharField(max_length=30, required=False, label="Repeat along the cloth")
    repeat_width_mm = forms.CharField(max_length=30, required=False, label="Repeat across the cloth")
    price = forms.CharField(max_length=30, label="Price")
    sold_by = forms.ChoiceField(label="Sold by")
    days_to_come = forms.IntegerField(
        min_value=0, max_value=365, required=False, label="Is here after, days", help_text=DAYS_TO_COME
    )
    right_side = forms.CharField(
        max_length=120, required=False, label="Right side", help_text="How it is told: the shinier one."
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for process in PROCESSES:
            self.fields[process.field] = forms.ChoiceField(
                choices=[("", "not known"), *process.treatments.items()],
                required=False,
                label=process.title,
            )
        self.per = "yard" if self.unit is Unit.IN else "metre"
        self.fields["price"].label = f"Price of a {self.per}, {self.currency}"
        self.fields["sold_by"].choices = self._steps_with_held()  # type: ignore[attr-defined]  # a ChoiceField

    def _steps_with_held(self) -> list[tuple[str, str]]:
        """The usual steps, and the one that the cloth has where it is another, so that saving keeps it."""
        steps, held = self._steps(), str(self.initial.get("sold_by", ""))
        if held and held not in dict(steps):
            steps.append((held, f"{format_length(float(held), self.unit)} {self.unit}"))
        return steps

    def _steps(self) -> list[tuple[str, str]]:
        if self.unit is Unit.IN:
            return [("114.3", "eighths of a yard"), ("228.6", "quarters of a yard"), ("914.4", "whole yards")]
        return [("100", "10 cm"), ("500", "50 cm"), ("1000", "whole metres"), ("10", "the centimetre")]

    @property
    def metres_in_unit(self) -> float:
        return float(METRES_A_YARD) if self.unit is Unit.IN else 1.0


class SwatchForm(forms.Form):
    """A picture of a cloth; the service reads it and says what is wrong with it."""

    swatch = forms.FileField(
        label="Picture (JPEG, PNG or WebP)", widget=forms.ClearableFileInput(attrs={"accept": "image/*"})
    )


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
    days_to_come = forms.IntegerField(
        min_value=0, max_value=365, required=False, label="Is here after, days", help_text=DAYS_TO_COME
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
            return parse_length(self.cleaned_data["length"], self.unit, longest_mm=LONGEST_MM)
        except BadMeasurement as refusal:
            raise forms.ValidationError(str(refusal)) from None


class FlawForm(forms.Form):
    """Where a flaw of a length lies, in the workshop's unit."""

    length = forms.TypedChoiceField(coerce=int, label="On which length")
    at = forms.CharField(max_length=30, help_text="To its middle, from where the length begins now.")
    across = forms.CharField(max_length=30, help_text="To its middle, from the edge on your left.")
    size = forms.CharField(max_length=30, help_text="Its diameter, with what you would leave round it.")
    note = forms.CharField(max_length=200, required=False, label="What it is")

    def __init__(self, *args: Any, unit: Unit, lengths: Iterable[tuple[int, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.unit = unit
        self.fields["length"].choices = list(lengths)  # type: ignore[attr-defined]  # a choice field
        for name, words in (("at", "Along the cloth"), ("across", "Across the cloth"), ("size", "Size")):
            self.fields[name].label = f"{words}, {unit}"

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        for name in ("at", "across", "size"):
            if name in data:
                try:
                    data[name] = parse_length(data[name], self.unit, longest_mm=LONGEST_MM)
                except BadMeasurement as refusal:
                    self.add_error(name, str(refusal))
        return data


def plain_amount(amount: Decimal, currency: str) -> str:
    """An amount for the value of a field in the currency's own decimals: 3.200 reads as thousands."""
    return str(rounded(amount, currency))


def written(mm: float | None, unit: Unit) -> str:
    """A length for the value of a field; empty where there is none."""
    return "" if not mm else format_length(mm, unit)
