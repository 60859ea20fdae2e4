"""Moving a task by choosing who does it and when."""

from __future__ import annotations

from typing import Any

from django import forms

from workshop.people.models import Staff
from workshop.planning.models import Task
from workshop.planning.queries import able


class MoveTaskForm(forms.Form):
    staff = forms.ModelChoiceField(queryset=Staff.objects.none(), label="Who does it", empty_label=None)
    starts_at = forms.DateTimeField(
        label="From when",
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        input_formats=["%Y-%m-%dT%H:%M"],
        help_text="The task stays there; everything else is planned around it.",
    )

    def __init__(self, *args: Any, task: Task, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = Staff.objects.filter(workshop=task.workshop, active=True).order_by("name", "pk")
        skilled = [person.pk for person in able(people, task.group)]
        self.fields["staff"].queryset = people.filter(pk__in=skilled)  # type: ignore[attr-defined]  # a ModelChoiceField
