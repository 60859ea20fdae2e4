"""Clients and wearers in the owner's book."""

from __future__ import annotations

from django import forms

from workshop.desk.editing import VersionForm
from workshop.desk.forms.orders import date_input


class ClientForm(VersionForm):
    name = forms.CharField(max_length=120)
    email = forms.EmailField(required=False, label="E-mail")
    phone = forms.CharField(max_length=40, required=False, label="Telephone")
    address = forms.CharField(max_length=1000, required=False, widget=forms.Textarea(attrs={"rows": 3}))
    country = forms.CharField(
        max_length=2,
        required=False,
        help_text="Two letters (ISO 3166-1), only where it is another than yours. E-invoices name it.",
    )
    note = forms.CharField(max_length=4000, required=False, widget=forms.Textarea(attrs={"rows": 3}))
    reminded = forms.BooleanField(required=False, label="Is reminded of fittings by e-mail")


class WearerDetailsForm(VersionForm):
    name = forms.CharField(max_length=120)
    born_on = forms.DateField(required=False, label="Born on", widget=date_input())
    is_minor = forms.BooleanField(required=False, label="The wearer is a minor")
    guardian = forms.CharField(max_length=120, required=False)
    consent_by = forms.CharField(max_length=120, required=False, label="Consent given by")
    consent_on = forms.DateField(required=False, label="Consent given on", widget=date_input())
    keep_until_on = forms.DateField(
        required=False,
        label="Keep measurements until",
        widget=date_input(),
        help_text="Afterwards they are erased. Check your local rules.",
    )
    fit_notes = forms.CharField(
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        label="Fit notes",
        help_text="What fittings taught about this body: it is shown at each later draft.",
    )


class EraseForm(forms.Form):
    reason = forms.CharField(
        max_length=300, label="Why they are erased", help_text="Asked by the wearer, say."
    )
