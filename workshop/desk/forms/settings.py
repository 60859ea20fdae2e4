"""The workshop's own settings: name and papers, money, time, people."""

from __future__ import annotations

import zoneinfo
from datetime import time
from typing import Any

from django import forms

from costing import speech
from workshop.desk.editing import VersionForm
from workshop.desk.forms.numbers import NumberField
from workshop.desk.forms.orders import date_input
from workshop.people.models import LengthUnit, Role, Staff, Workshop
from workshop.people.rules.working_week import WEEKDAYS, BadTimes, Span, check_week, read_day
from workshop.people.services.staffing import SKILLS


class WorkshopForm(VersionForm):
    name = forms.CharField(max_length=120)
    address = forms.CharField(required=False, widget=forms.Textarea(attrs={"rows": 3}))
    email = forms.EmailField(required=False, label="E-mail")
    phone = forms.CharField(max_length=40, required=False, label="Telephone")
    tax_number = forms.CharField(
        max_length=40, required=False, label="Tax number", help_text="As your papers print it."
    )
    vat_number = forms.CharField(
        max_length=20,
        required=False,
        label="VAT number",
        help_text="With the two letters of its country, such as PT123456789: e-invoices name you by it.",
    )
    tax_exemption = forms.CharField(
        max_length=200,
        required=False,
        label="Why you charge no tax, if you charge none",
        help_text="As your local rules word it. An e-invoice without tax must say so.",
    )
    e_invoices = forms.BooleanField(
        required=False,
        label="Invoices carry an e-invoice (EN 16931)",
        help_text="A file that bookkeeping programs read lies inside each invoice and credit note. It needs "
        "your address, country and VAT number. Whether you must send it is local: check your local rules.",
    )
    pay_to = forms.CharField(
        required=False,
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
        label="How you are paid",
        help_text="A bank account or a telephone number for mobile money. Every invoice names it.",
    )
    currency = forms.CharField(
        max_length=3, min_length=3, help_text="The three letters of ISO 4217: EUR, JPY, GHS."
    )
    language = forms.ChoiceField(
        choices=lambda: speech.languages().items(),
        label="Language of papers, letters and your customers' pages",
        help_text="What was sent or issued keeps its language. Your own words stay as you write them: put "
        "the terms, the name of the tax and how you are paid into that language, too.",
    )
    length_unit = forms.ChoiceField(choices=LengthUnit.choices, label="Lengths are written in")
    time_zone = forms.ChoiceField(choices=[(name, name) for name in sorted(zoneinfo.available_timezones())])
    tax_label = forms.CharField(max_length=40, label="Name of the tax")
    tax_rate = NumberField(
        min_value=0, max_digits=5, decimal_places=2, label="Tax rate, %",
        help_text="Which rate holds, and whether you charge it at all, is local: check your local rules.",
    )  # fmt: skip
    deposit_share = NumberField(
        min_value=0, max_value=100, max_digits=5, decimal_places=2, label="Deposit, % of the price"
    )
    deposit_before_cutting = forms.BooleanField(
        required=False, label="Nothing is cut before the deposit is in"
    )
    quote_valid_days = forms.IntegerField(min_value=1, max_value=365, label="A quote holds for, days")
    quote_terms = forms.CharField(
        required=False, widget=forms.Textarea(attrs={"rows": 4}), label="Terms on quotes"
    )
    fitting_minutes = forms.IntegerField(min_value=10, max_value=480, label="A fitting takes, minutes")
    fitting_notice_hours = forms.IntegerField(
        min_value=0,
        max_value=336,
        label="Customers change a fitting alone until, hours before",
        help_text="Nearer than this they are asked to call you.",
    )
    remind_days_before = forms.IntegerField(
        min_value=0,
        max_value=14,
        label="Remind of a fitting, days before",
        help_text="By e-mail, once for each time that was agreed; 0 for never. A client can turn it off.",
    )
    days_to_come = forms.IntegerField(
        min_value=0,
        max_value=365,
        label="What is ordered is here after, days",
        help_text="Where the price list says no other: the plan cuts no sooner, and the list of what to buy "
        "says by when to order. Five days are common practice.",
    )
    erase_when_due = forms.BooleanField(
        required=False,
        label="Erase measurements by itself once their day is past",
        help_text="Otherwise the rail asks you. Those of a garment in work are kept until it is delivered.",
    )


class HoursForm(VersionForm):
    """Up to two spans a weekday; a day without any is closed."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for day, name in enumerate(WEEKDAYS):
            for span in (0, 1):
                for end in ("opens", "closes"):
                    self.fields[f"{end}-{day}-{span}"] = forms.TimeField(
                        required=False,
                        label=f"{name} {end}{' again' if span else ''}",
                        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
                    )

    def days(self) -> list[tuple[str, list[forms.BoundField]]]:
        """Weekday -> its four fields, for the page."""
        return [
            (name, [self[f"{end}-{day}-{span}"] for span in (0, 1) for end in ("opens", "closes")])
            for day, name in enumerate(WEEKDAYS)
        ]

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        for day, name in enumerate(WEEKDAYS):
            for span in (0, 1):
                if (data.get(f"opens-{day}-{span}") is None) != (data.get(f"closes-{day}-{span}") is None):
                    self.add_error(None, f"{name}: write both when it opens and when it closes, or neither.")
        return data

    def spans(self) -> list[tuple[int, time, time]]:
        data = self.cleaned_data
        return [
            (day, data[f"opens-{day}-{span}"], data[f"closes-{day}-{span}"])
            for day in range(7)
            for span in (0, 1)
            if data.get(f"opens-{day}-{span}") is not None
        ]


class StaffDetailsForm(forms.Form):
    """What is written down of a person, new or not."""

    name = forms.CharField(max_length=80)
    role = forms.ChoiceField(choices=Role.choices)
    skills = forms.MultipleChoiceField(
        choices=[(skill, skill) for skill in SKILLS], widget=forms.CheckboxSelectMultiple, required=False
    )
    hourly_wage = forms.DecimalField(min_value=0, max_digits=10, decimal_places=3, label="Wage of an hour")
    speed = NumberField(
        min_value=0,
        max_digits=4,
        decimal_places=2,
        initial=1,
        help_text="1 is the standard; 0.5 is half as fast.",
    )
    weekly_hours = NumberField(
        min_value=0,
        max_value=168,
        max_digits=5,
        decimal_places=2,
        label="Hours a week",
        help_text="Taken as a share of each opening, from its beginning, where no working times are written.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for day, name in enumerate(WEEKDAYS):
            self.fields[f"times-{day}"] = forms.CharField(
                max_length=120,
                required=False,
                label=name,
                widget=forms.TextInput(attrs={"autocomplete": "off"}),
            )

    def details(self) -> list[forms.BoundField]:
        """The fields without the working times, for the page."""
        return [field for field in self if not field.name.startswith("times-")]

    def days(self) -> list[forms.BoundField]:
        """The working times, Monday first, for the page."""
        return [self[f"times-{day}"] for day in range(7)]

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        spans: list[Span] = []
        for day in range(7):
            try:
                of_day: list[Span] = [(day, *times) for times in read_day(data.pop(f"times-{day}", ""))]
                check_week(of_day)
                spans += of_day
            except BadTimes as problem:
                self.add_error(f"times-{day}", str(problem))
        return {**data, "working_week": spans}


class StaffForm(VersionForm, StaffDetailsForm):
    active = forms.BooleanField(required=False, initial=True, label="works here now")


class NewStaffForm(StaffDetailsForm):
    username = forms.CharField(max_length=150, label="Sign-in name")
    password = forms.CharField(
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        max_length=128,
        label="First password",
    )


class TaxRateForm(forms.Form):
    name = forms.CharField(
        max_length=40, label="What is taxed otherwise", help_text="Such as children's clothes."
    )
    percent = NumberField(
        min_value=0, max_digits=5, decimal_places=2, label="Rate, %",
        help_text="Whether it holds for what you make is local: check your local rules.",
    )  # fmt: skip
    zero_rated = forms.BooleanField(
        required=False,
        label="Its 0 % is a rate of tax (zero rated), not an exemption",
        help_text="Else 0 % is exempt, and an e-invoice gives your reason for it.",
    )


class ClosureForm(forms.Form):
    from_on = forms.DateField(label="First day", widget=date_input())
    to_on = forms.DateField(label="Last day", widget=date_input())
    staff = forms.ModelChoiceField(
        queryset=Staff.objects.none(), required=False, label="Who is away", empty_label="the whole workshop"
    )
    reason = forms.CharField(max_length=120, required=False)

    def __init__(self, *args: Any, workshop: Workshop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["staff"].queryset = workshop.staff.filter(active=True).order_by("name", "pk")  # type: ignore[attr-defined]  # a ModelChoiceField
