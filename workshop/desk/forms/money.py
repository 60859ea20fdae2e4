"""Payments, refunds, credit notes."""

from __future__ import annotations

from typing import Any

from django import forms

from costing.errors import CostingError
from costing.models import Payment
from costing.rules.money import read_amount
from workshop.desk.forms.orders import date_input


class PaymentForm(forms.Form):
    amount = forms.CharField(max_length=30, widget=forms.TextInput(attrs={"inputmode": "decimal"}))
    method = forms.ChoiceField(choices=Payment.Method.choices)
    received_on = forms.DateField(label="On", widget=date_input())
    note = forms.CharField(max_length=200, required=False)
    refund = forms.BooleanField(required=False, label="This is money given back")

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.currency = currency
        self.fields["amount"].label = f"Amount, {currency}"

    def clean_amount(self) -> Any:
        try:
            return read_amount(self.cleaned_data["amount"], self.currency)
        except CostingError as refusal:
            raise forms.ValidationError(str(refusal)) from None


class CreditForm(forms.Form):
    reason = forms.CharField(max_length=300, label="Why it is credited", help_text="The paper says so.")
