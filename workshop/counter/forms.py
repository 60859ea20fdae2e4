"""What a customer writes: an answer to the quote."""

from __future__ import annotations

from django import forms


class AcceptForm(forms.Form):
    name = forms.CharField(
        max_length=120, label="Your name", help_text="You accept the quote and its terms as they stand above."
    )
    version = forms.IntegerField(widget=forms.HiddenInput)


class DeclineForm(forms.Form):
    reason = forms.CharField(
        max_length=300, required=False, label="Why", help_text="It helps us; you need not say."
    )
