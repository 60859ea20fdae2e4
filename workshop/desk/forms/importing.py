"""A file of prices or stock: first looked through, then taken in."""

from __future__ import annotations

from typing import Any

from django import forms

from costing.errors import CostingError
from costing.rules.table_reading import MOST_BYTES, decoded

KINDS = (("cloths", "cloths"), ("notions", "notions"), ("stock", "a count of the stock"))


class LookForm(forms.Form):
    """What is sent first: the file itself."""

    kind = forms.ChoiceField(choices=KINDS, label="What is in it")
    file = forms.FileField(label="The file (CSV)", allow_empty_file=True)

    def clean_file(self) -> str:
        """The text of the file."""
        sent: Any = self.cleaned_data["file"]
        try:
            return decoded(sent.read(MOST_BYTES + 1))
        except CostingError as refusal:
            raise forms.ValidationError(str(refusal)) from None


class TakeForm(forms.Form):
    """What is sent after that: the text that was looked through."""

    kind = forms.ChoiceField(choices=KINDS)
    text = forms.CharField(max_length=MOST_BYTES, strip=False, widget=forms.HiddenInput)
