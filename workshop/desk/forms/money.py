"""Payments, refunds, credit notes."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms

from costing.errors import CostingError
from costing.models import CreditNote, Payment
from costing.queries import given_back, paper_number
from costing.rules.crediting import Left
from costing.rules.money import format_money, read_amount
from workshop.desk.forms.orders import date_input


class PaymentForm(forms.Form):
    amount = forms.CharField(max_length=30, widget=forms.TextInput(attrs={"inputmode": "decimal"}))
    method = forms.ChoiceField(choices=Payment.Method.choices)
    received_on = forms.DateField(label="On", widget=date_input())
    note = forms.CharField(max_length=200, required=False)

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.currency = currency
        self.fields["amount"].label = f"Amount, {currency}"

    def clean_amount(self) -> Decimal:
        return _amount(self.cleaned_data["amount"], self.currency)


class RefundForm(PaymentForm):
    """Money given back: for a credit note, or without one where too much was paid."""

    credit_note = forms.TypedChoiceField(label="For", coerce=int, empty_value=None, required=False)
    field_order = ("credit_note", "amount", "method", "received_on", "note")

    def __init__(self, *args: Any, notes: Sequence[CreditNote], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.notes = {note.pk: note for note in notes}
        self.fields["credit_note"].choices = [  # type: ignore[attr-defined]  # a ChoiceField
            *((pk, self._words(note)) for pk, note in self.notes.items()),
            ("", "no credit note: more was paid than was due"),
        ]

    def _words(self, note: CreditNote) -> str:
        left = format_money(note.payable - given_back(note), self.currency)
        return f"credit note {paper_number(note)}: {left} not given back yet"

    def clean_credit_note(self) -> CreditNote | None:
        return self.notes.get(self.cleaned_data["credit_note"])


class CreditForm(forms.Form):
    """All that is left of an invoice, or amounts of its lines (fields ``part-0``, ``part-1`` ...)."""

    whole = forms.ChoiceField(
        choices=(("yes", "all that is left of it"), ("no", "the amounts that I write below")),
        widget=forms.RadioSelect,
        initial="yes",
        label="How much is taken back",
    )
    then = forms.ChoiceField(
        choices=(
            ("again", "is asked for again by another invoice: this one was wrong"),
            ("less", "is taken off the agreed price: the customer pays that much less"),
        ),
        widget=forms.RadioSelect,
        label="What is taken back",
    )
    reason = forms.CharField(max_length=300, label="Why it is credited", help_text="The paper says so.")

    def __init__(
        self, *args: Any, currency: str, left: Decimal, lines: Sequence[tuple[str, Left]], **kwargs: Any
    ) -> None:
        """``left`` is what the invoice still comes to; ``lines``: words and what is left of each line."""
        super().__init__(*args, **kwargs)
        self.currency = currency
        self.places = []
        for place, (words, line) in enumerate(lines):
            if line.net > 0:
                most = min(line.gross(currency), left)  # a deposit invoice has taken the rest already
                self.places.append(place)
                self.fields[f"part-{place}"] = forms.CharField(
                    required=False,
                    max_length=30,
                    label=f"{words}, with tax",
                    help_text=f"At most {format_money(most, currency)}.",
                    widget=forms.TextInput(attrs={"inputmode": "decimal"}),
                )
        self.order_fields(["whole", *(f"part-{place}" for place in self.places), "then", "reason"])

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        self.parts: dict[int, Decimal] | None = None
        if data.get("whole") == "no":
            self.parts = {}
            for place in self.places:
                self._read_part(place, data.get(f"part-{place}", ""))
        return data

    def _read_part(self, place: int, typed: str) -> None:
        assert self.parts is not None
        if typed:
            try:
                self.parts[place] = _amount(typed, self.currency)
            except forms.ValidationError as fault:
                self.add_error(f"part-{place}", fault)

    def wanted(self) -> dict[str, Any]:
        """What the service takes."""
        return {
            "reason": self.cleaned_data["reason"],
            "parts": self.parts,
            "lowers_price": self.cleaned_data["then"] == "less",
        }


def _amount(typed: str, currency: str) -> Decimal:
    try:
        return read_amount(typed, currency)
    except CostingError as refusal:
        raise forms.ValidationError(str(refusal)) from None
