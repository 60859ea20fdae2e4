"""What was really cut of a garment's cloths."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from drafting.errors import BadMeasurement
from drafting.units import Unit, parse_length
from workshop.desk.forms.prices import LONGEST_MM


class CutForm(forms.Form):
    """A cloth that was cut for the garment, and its true length, mm."""

    cloth = forms.TypedChoiceField(coerce=int)
    length = forms.CharField(max_length=30)

    def __init__(self, *args: Any, unit: Unit, cloths: Sequence[tuple[int, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.unit = unit
        self.fields["cloth"].choices = list(cloths)  # type: ignore[attr-defined]  # a choice field
        self.fields["length"].label = f"Length that was cut, {unit}"

    def clean_length(self) -> float:
        try:
            return parse_length(self.cleaned_data["length"], self.unit, longest_mm=LONGEST_MM)
        except BadMeasurement as refusal:
            raise forms.ValidationError(str(refusal)) from None
