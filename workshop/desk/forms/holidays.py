"""Where the workshop is, and on which public holidays it closes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from workshop.desk.editing import VersionForm
from workshop.people.queries import OfferedHoliday
from workshop.people.rules.holidays import countries, regions


class PlaceForm(VersionForm):
    """Country and region; the regions are those of the country that is kept."""

    country = forms.ChoiceField(required=False, help_text="Its public holidays are listed below.")
    region = forms.ChoiceField(
        required=False, help_text="Choose the country and save; then its parts are here."
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kept = self.initial.get("country", "")
        self.fields["country"].choices = [("", "none"), *countries().items()]  # type: ignore[attr-defined]  # a ChoiceField
        self.fields["region"].choices = [("", "the whole country"), *regions(kept).items()]  # type: ignore[attr-defined]  # a ChoiceField

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        if data.get("country") != self.initial.get("country", ""):
            data["region"] = ""  # of the country that was left
            self.errors.pop("region", None)
        return data


class HolidaysForm(forms.Form):
    """The public holidays of a year that are to come; ticked are those on which the workshop closes."""

    closed = forms.MultipleChoiceField(
        required=False, widget=forms.CheckboxSelectMultiple, label="The workshop is closed on"
    )

    def __init__(self, *args: Any, offered: Sequence[OfferedHoliday], **kwargs: Any) -> None:
        kwargs["initial"] = {"closed": [row.on.isoformat() for row in offered if row.closed]}
        super().__init__(*args, **kwargs)
        self.fields["closed"].choices = [  # type: ignore[attr-defined]  # a ChoiceField
            (row.on.isoformat(), _words(row)) for row in offered if not row.past
        ]


def _words(row: OfferedHoliday) -> str:
    noted = ": closed already, with the days beside it" if row.by_hand else ""
    return f"{row.on:%a} {row.on.day} {row.on:%B}, {row.name}{noted}"
