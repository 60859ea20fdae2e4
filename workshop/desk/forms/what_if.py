"""What would be another way: cloth, width, lining, quantity."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from costing.models import Cloth
from drafting.errors import BadMeasurement
from drafting.styles import STYLES
from drafting.units import Unit, parse_length
from workshop.desk.forms.numbers import NumberField
from workshop.orders.models import Garment
from workshop.orders.services.what_if import LINING, MOST_ALIKE, WhatIf

USUAL_LEARNING = 95
"""Percent that each doubling of the quantity takes the time of one to, until the owner says another.

Common practice, no source: hand work on few garments gains little.
"""


class WhatIfForm(forms.Form):
    """Reads what is to be another way; what is left empty stays."""

    shell = forms.TypedChoiceField(coerce=int, empty_value=None, required=False, label="Shell cloth")
    width = forms.CharField(max_length=30, required=False)
    lining = forms.ChoiceField(required=False, label="Lined")
    lining_cloth = forms.TypedChoiceField(coerce=int, empty_value=None, required=False, label="Lining cloth")
    quantity = forms.TypedChoiceField(
        coerce=int,
        empty_value=None,
        required=False,
        label="How many of the same",
        choices=[(count, str(count)) for count in range(1, MOST_ALIKE + 1)],
    )
    learning = NumberField(
        min_value=50,
        max_value=100,
        required=False,
        initial=USUAL_LEARNING,
        label="Each doubling takes the time of one to, %",
    )

    def __init__(
        self, *args: Any, garment: Garment, cloths: Sequence[Cloth], unit: Unit, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.cloths = {cloth.pk: cloth for cloth in cloths}
        self.unit = unit
        as_it_is = [("", "as it is")]
        for name, use in (("shell", Cloth.Use.SHELL), ("lining_cloth", Cloth.Use.LINING)):
            rows = [(cloth.pk, cloth.name) for cloth in cloths if cloth.use == use]
            self.fields[name].choices = [*as_it_is, *rows]  # type: ignore[attr-defined]  # a choice field
        self.fields["width"].label = f"Its width, {unit}"
        asked = {choice.name: choice for choice in STYLES[garment.style].choices}.get(LINING)
        if asked is None:
            del self.fields["lining"], self.fields["lining_cloth"]
        else:
            self.fields["lining"].choices = [*as_it_is, *asked.options]  # type: ignore[attr-defined]

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
        learning = data["learning"] if data["learning"] is not None else USUAL_LEARNING
        return WhatIf(
            cloths={role: self.cloths[key] for role, key in chosen.items() if key is not None},
            width_mm=data["width"],
            lining=data.get("lining") or None,
            quantity=data["quantity"] or 1,
            learning_rate=float(learning) / 100,
        )
