"""What would be another way: cloth, width, lining, pleats, quantity, day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from django import forms

from costing.models import Cloth, Rates
from drafting.errors import BadMeasurement
from drafting.styles import STYLES
from drafting.units import Unit, format_length, parse_length
from workshop.desk.forms.numbers import NumberField
from workshop.desk.forms.orders import date_input
from workshop.errors import Refusal
from workshop.orders.models import Garment
from workshop.orders.services.taking import refuse_day
from workshop.orders.services.what_if import LINING, MOST_ALIKE, PLEATS, WhatIf

MOST_BESIDE = 2
"""Ways that are kept beside the one that is asked for."""


class WhatIfForm(forms.Form):
    """Reads what is to be another way; what is left empty stays."""

    shell = forms.TypedChoiceField(coerce=int, empty_value=None, required=False, label="Shell cloth")
    width = forms.CharField(max_length=30, required=False)
    lining = forms.ChoiceField(required=False, label="Lined")
    lining_cloth = forms.TypedChoiceField(coerce=int, empty_value=None, required=False, label="Lining cloth")
    pleats = forms.TypedChoiceField(coerce=int, empty_value=None, required=False)
    quantity = forms.TypedChoiceField(
        coerce=int,
        empty_value=None,
        required=False,
        label="How many of the same",
        choices=[("", "as it is"), *((count, str(count)) for count in range(1, MOST_ALIKE + 1))],
    )
    learning = NumberField(
        min_value=50,
        max_value=100,
        required=False,
        label="Each doubling takes the time of one to, %",
    )
    due_on = forms.DateField(required=False, label="Ready on", widget=date_input())
    rush = NumberField(
        min_value=0,
        max_value=100,
        decimal_places=2,
        required=False,
        label="Rush, %",
        help_text="Left empty: what a rush usually adds, where the day is sooner than the order’s.",
    )

    def __init__(
        self,
        *args: Any,
        garment: Garment,
        cloths: Sequence[Cloth],
        unit: Unit,
        rates: Rates | None,
        today: date,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.cloths = {cloth.pk: cloth for cloth in cloths}
        self.unit, self.today = unit, today
        self.fields["learning"].initial = None if rates is None else rates.repeat_percent
        as_it_is = [("", "as it is")]
        for name, use in (("shell", Cloth.Use.SHELL), ("lining_cloth", Cloth.Use.LINING)):
            rows = [(cloth.pk, cloth.name) for cloth in cloths if cloth.use == use]
            self.fields[name].choices = [*as_it_is, *rows]  # type: ignore[attr-defined]  # a choice field
        self.fields["width"].label = f"Its width, {unit}"
        asked = {choice.name: choice for choice in STYLES[garment.style].choices}
        if LINING in asked:
            self.fields["lining"].choices = [*as_it_is, *asked[LINING].options]  # type: ignore[attr-defined]
        else:
            del self.fields["lining"], self.fields["lining_cloth"]
        if PLEATS in asked:
            pleats = asked[PLEATS]
            self.fields["pleats"].label = pleats.title
            counts = range(int(pleats.low or 0), int(pleats.high or 0) + 1)
            self.fields["pleats"].choices = [*as_it_is, *((count, str(count)) for count in counts)]  # type: ignore[attr-defined]
        else:
            del self.fields["pleats"]

    def clean_due_on(self) -> date | None:
        day: date | None = self.cleaned_data["due_on"]
        if day is not None:
            try:
                refuse_day(day, self.today)
            except Refusal as refusal:
                raise forms.ValidationError(str(refusal)) from None
        return day

    def clean_width(self) -> float | None:
        if not self.cleaned_data["width"]:
            return None
        try:
            return parse_length(self.cleaned_data["width"], self.unit)
        except BadMeasurement as refusal:
            raise forms.ValidationError(str(refusal)) from None

    def wanted(self) -> WhatIf:
        """What was asked for, of a valid form."""
        data = self.cleaned_data
        chosen = {"shell": data["shell"], LINING: data.get("lining_cloth")}
        return WhatIf(
            cloths={role: self.cloths[key] for role, key in chosen.items() if key is not None},
            width_mm=data["width"],
            lining=data.get("lining") or None,
            pleats=data.get("pleats"),
            quantity=data["quantity"],
            learning_rate=None if data["learning"] is None else float(data["learning"]) / 100,
            due_on=data["due_on"],
            rush=None if data["rush"] is None else data["rush"] / 100,
        )

    def words(self) -> str:
        """What is another way, in words, of a valid form."""
        return "; ".join(self._words()) or "as it is"

    def _words(self) -> Iterator[str]:
        data = self.cleaned_data
        for name in ("shell", "lining_cloth"):
            if data.get(name) is not None:
                yield self.cloths[data[name]].name
        if data["width"] is not None:
            yield f"{format_length(data['width'], self.unit)} {self.unit} wide"
        if data.get("lining"):
            label = dict(self.fields["lining"].choices)[data["lining"]]  # type: ignore[attr-defined]
            yield f"lining: {label}"
        if data.get("pleats") is not None:
            yield f"pleats: {data['pleats']}"
        if data["quantity"] is not None:
            yield f"{data['quantity']} of the same"
        if data["due_on"] is not None:
            yield f"by {data['due_on'].day} {data['due_on']:%B}"
        if data["rush"] is not None:
            yield f"rush {data['rush'].normalize():f} %"
