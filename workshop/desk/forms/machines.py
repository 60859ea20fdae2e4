"""The form of a machine."""

from __future__ import annotations

from django import forms

from workshop.desk.editing import VersionForm
from workshop.planning.models import TaskGroup


class MachineDetailsForm(forms.Form):
    name = forms.CharField(max_length=60, label="Machine", help_text="such as overlocker or steam table")
    count = forms.IntegerField(min_value=1, max_value=50, initial=1, label="How many there are")
    groups = forms.MultipleChoiceField(
        choices=TaskGroup.choices,
        widget=forms.CheckboxSelectMultiple,
        label="Kinds of work that need one",
        help_text="A task of that kind holds one from its beginning to its end.",
    )


class MachineForm(VersionForm, MachineDetailsForm):
    """A machine that is known already."""
