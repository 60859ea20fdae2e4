"""What the owner fills in to take an order and to change it."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms

from workshop.desk.editing import VersionForm
from workshop.people.models import Client, Workshop


def date_input() -> forms.DateInput:
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class ClientChoice(forms.ModelChoiceField):  # type: ignore[type-arg]  # not generic at run time
    """The clients of one workshop, told apart by what they left to be reached by."""

    def label_from_instance(self, obj: Any) -> str:
        reach = obj.email or obj.phone
        return f"{obj.name}, {reach}" if reach else str(obj.name)


class TakeOrderForm(forms.Form):
    """Who orders, for what, by when. Either a client from the book or a new one."""

    client = ClientChoice(
        queryset=Client.objects.none(), required=False, label="Client", empty_label="a new client"
    )
    client_name = forms.CharField(max_length=120, required=False, label="New client's name")
    client_email = forms.EmailField(required=False, label="E-mail", help_text="The quote is sent there.")
    client_phone = forms.CharField(max_length=40, required=False, label="Telephone")
    client_address = forms.CharField(
        required=False, label="Address", widget=forms.Textarea(attrs={"rows": 2}), max_length=400
    )
    occasion = forms.CharField(max_length=120, required=False, help_text="A wedding, a recital, every day.")
    due_on = forms.DateField(label="Due on", widget=date_input(), help_text="The day that cannot move.")
    note = forms.CharField(required=False, widget=forms.Textarea(attrs={"rows": 2}), max_length=2000)

    def __init__(self, *args: Any, workshop: Workshop, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["client"].queryset = Client.objects.filter(workshop=workshop).order_by("name", "pk")  # type: ignore[attr-defined]  # a ModelChoiceField
        self.fields["due_on"].widget.attrs["min"] = today.isoformat()

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        faulty = {"client", "client_name"} & set(self.errors)  # which says enough
        if not faulty and data.get("client") is None and not data.get("client_name"):
            self.add_error("client_name", "Choose a client from the book or write the new client's name.")
        return data


class EditOrderForm(VersionForm):
    occasion = forms.CharField(max_length=120, required=False)
    due_on = forms.DateField(label="Due on", widget=date_input())
    note = forms.CharField(required=False, widget=forms.Textarea(attrs={"rows": 3}), max_length=2000)
