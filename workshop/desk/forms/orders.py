"""What the owner fills in to take an order and to change it."""

from __future__ import annotations

import uuid
from datetime import date
from typing import Any

from django import forms

from workshop.people.models import Client, Workshop


class OnceForm(forms.Form):
    """A form that carries a mark of its own, so that sending it twice does its work once."""

    submission = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial.setdefault("submission", uuid.uuid4())

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        if "submission" in self.errors:
            put_right(self, "submission", uuid.uuid4())
        return data


class VersionForm(forms.Form):
    """A form that remembers what it was opened on, so that a second editor is told."""

    expected_version = forms.IntegerField(widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        if "expected_version" in self.errors:
            put_right(self, "expected_version", self.initial.get("expected_version", 0))
        return data

    def stand_on_what_holds(self) -> list[tuple[str, Any]]:
        """After a conflict: keep what was typed, so that saving again puts it in place.

        Returns what holds now in the fields where it is not what was typed: (label, value).
        """
        replace_hidden(self, "expected_version", self.initial["expected_version"])
        return differences(self)


def differences(form: forms.BaseForm) -> list[tuple[str, Any]]:
    """What a form was opened on where something else was typed: (label, value)."""
    fields = [form[name] for name in form.changed_data if not form[name].is_hidden]
    return [(str(field.label), _in_words(field.initial)) for field in fields]


def _in_words(value: Any) -> Any:
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else value


def put_right(form: forms.Form, name: str, value: object) -> None:
    """A hidden field came back broken: say so where it can be read, and let sending again work."""
    form.add_error(None, "The page was damaged on its way here. Look through it and send it once more.")
    replace_hidden(form, name, value)


def replace_hidden(form: forms.Form, name: str, value: object) -> None:
    data = form.data.copy()  # type: ignore[attr-defined]  # a QueryDict cannot be changed in place
    data[name] = str(value)
    form.data = data


def date_input() -> forms.DateInput:
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class ClientChoice(forms.ModelChoiceField):  # type: ignore[type-arg]  # not generic at run time
    """The clients of one workshop, told apart by what they left to be reached by."""

    def label_from_instance(self, obj: Any) -> str:
        reach = obj.email or obj.phone
        return f"{obj.name}, {reach}" if reach else str(obj.name)


class TakeOrderForm(OnceForm):
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
