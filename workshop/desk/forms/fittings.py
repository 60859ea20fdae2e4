"""Booking a fitting and saying how it went."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django import forms
from django.utils import timezone

from workshop.people.models import Workshop
from workshop.planning.models import FittingOutcome
from workshop.planning.queries import FittingSlot
from workshop.planning.services import Alteration

MOST_ALTERATIONS = 5
FIRST_YEAR, LAST_YEAR = 2000, 2999  # beyond, a time cannot be reckoned with in every zone


class BookForm(forms.Form):
    """A time: one that is free, or one that the owner sets herself."""

    slot = forms.ChoiceField(required=False, label="A free time")
    other = forms.DateTimeField(
        required=False,
        label="Another time",
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        input_formats=["%Y-%m-%dT%H:%M"],
        help_text="Outside the offered times, where you know better.",
    )

    def __init__(self, *args: Any, workshop: Workshop, slots: Sequence[FittingSlot], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["slot"].choices = [("", "none of these")] + [  # type: ignore[attr-defined]  # a ChoiceField
            (slot.starts_at.isoformat(), _words(slot, workshop)) for slot in slots
        ]

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        if not self.errors and not data.get("slot") and data.get("other") is None:
            self.add_error("slot", "Choose a free time or write another one.")
        return data

    def clean_other(self) -> datetime | None:
        other: datetime | None = self.cleaned_data["other"]
        if other is not None and not FIRST_YEAR <= other.year <= LAST_YEAR:
            raise forms.ValidationError("Check the year.")
        return other

    def starts_at(self) -> datetime:
        other: datetime | None = self.cleaned_data["other"]
        return other if other is not None else datetime.fromisoformat(self.cleaned_data["slot"])


def _words(slot: FittingSlot, workshop: Workshop) -> str:
    start = timezone.localtime(slot.starts_at, workshop.zone)
    return f"{start:%a} {start.day} {start:%B}, {start:%H:%M} with {slot.fitter.name}"


class HoldForm(forms.Form):
    """How a fitting went, and what is to be changed."""

    outcome = forms.ChoiceField(
        choices=FittingOutcome.choices, widget=forms.RadioSelect, label="How did it go?"
    )
    notes = forms.CharField(
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="Kept with the fitting and on the wearer, for later drafts.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for number in range(1, MOST_ALTERATIONS + 1):
            self.fields[f"what_{number}"] = forms.CharField(
                required=False,
                max_length=120,
                label=f"Change {number}",
                widget=forms.TextInput(attrs={"placeholder": "side seam in by 1/2 in"}),
            )
            self.fields[f"minutes_{number}"] = forms.IntegerField(
                required=False, min_value=1, max_value=6000, label="Minutes it takes"
            )

    def rows(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        return [(self[f"what_{n}"], self[f"minutes_{n}"]) for n in range(1, MOST_ALTERATIONS + 1)]

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        for number in range(1, MOST_ALTERATIONS + 1):
            what, minutes = data.get(f"what_{number}"), data.get(f"minutes_{number}")
            if what and minutes is None and f"minutes_{number}" not in self.errors:
                self.add_error(f"minutes_{number}", "Say how many minutes it takes, to plan it.")
            if minutes and not what:
                self.add_error(f"what_{number}", "Say what is to be changed.")
        return data

    def alterations(self) -> list[Alteration]:
        data = self.cleaned_data
        return [
            Alteration(data[f"what_{n}"], data[f"minutes_{n}"])
            for n in range(1, MOST_ALTERATIONS + 1)
            if data.get(f"what_{n}")
        ]
