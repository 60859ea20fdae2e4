"""Booking a fitting and saying how it went."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from django import forms
from django.utils import timezone

from drafting.body import CATALOGUE
from drafting.errors import BadMeasurement
from drafting.units import Unit, parse_length
from workshop.people.models import Workshop
from workshop.planning.models import FittingOutcome
from workshop.planning.queries import FittingSlot
from workshop.planning.rules.alterations import PLACES, SIDES, Change
from workshop.planning.services import Alteration, BadFinding

MOST_CHANGES, MOST_ALTERATIONS, MOST_MEASURES = 6, 3, 4
CHANGES_OPEN = 2
"""So many places are in sight at once; the others are folded away."""

EXAMPLES = {Unit.IN: "1/2", Unit.CM: "1.5", Unit.MM: "15"}
"""Of an amount to take off, in each unit of a workshop."""

PLACE_CHOICES = [
    ("", "none"),
    *(
        (
            place.title.capitalize(),
            [(f"{place.name}:{way.name}", f"{place.title} {way.words}") for way in place.ways],
        )
        for place in PLACES.values()
    ),
]
SIDE_CHOICES = [("", "no side"), *((side, side) for side in SIDES)]
MEASURE_CHOICES = [("", "none"), *((name, row.word) for name, row in CATALOGUE.items())]
PART_FIELDS = {"place": "place", "way": "place", "side": "side", "amount": "amount", "minutes": "takes"}
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
    """How a fitting went: what to alter by place, what else, what was measured anew, whose word it is."""

    outcome = forms.ChoiceField(
        choices=FittingOutcome.choices, widget=forms.RadioSelect, label="How did it go?"
    )
    notes = forms.CharField(
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="Kept with the fitting and on the wearer, for later drafts.",
    )
    measures_confirmed = forms.BooleanField(required=False, label="The new measures are right, as they stand")
    signed_by = forms.CharField(
        required=False, max_length=120, label="Signed off by", help_text="With the time of keeping it."
    )

    def __init__(self, *args: Any, unit: Unit, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.unit = unit
        for number in _numbers(MOST_CHANGES):
            self._add_change(number)
        for number in _numbers(MOST_ALTERATIONS):
            self._add_alteration(number)
        for number in _numbers(MOST_MEASURES):
            self._add_measure(number)

    def _add_change(self, number: int) -> None:
        self.fields[f"place_{number}"] = forms.ChoiceField(
            required=False, choices=PLACE_CHOICES, label=f"Place {number}"
        )
        self.fields[f"side_{number}"] = forms.ChoiceField(
            required=False, choices=SIDE_CHOICES, label=f"Side {number}"
        )
        self.fields[f"amount_{number}"] = _text(40, f"By how much {number}, {self.unit}", EXAMPLES[self.unit])
        self.fields[f"takes_{number}"] = _minutes(f"Minutes {number}", "as usual")
        self.fields[f"figure_{number}"] = forms.BooleanField(
            required=False, initial=True, label="It lies in the figure: draw later drafts with it"
        )

    def _add_alteration(self, number: int) -> None:
        self.fields[f"what_{number}"] = _text(120, f"Change {number}", "loosen the elastic at the left cuff")
        self.fields[f"minutes_{number}"] = _minutes(f"Minutes it takes {number}")

    def _add_measure(self, number: int) -> None:
        self.fields[f"measure_{number}"] = forms.ChoiceField(
            required=False, choices=MEASURE_CHOICES, label=f"Measure {number}"
        )
        self.fields[f"length_{number}"] = _text(40, f"Now {number}, {self.unit}")

    def change_rows(self) -> list[list[forms.BoundField]]:
        names = ("place", "side", "amount", "takes", "figure")
        return [[self[f"{name}_{n}"] for name in names] for n in _numbers(MOST_CHANGES)]

    def rows(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        return [(self[f"what_{n}"], self[f"minutes_{n}"]) for n in _numbers(MOST_ALTERATIONS)]

    def measure_rows(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        return [(self[f"measure_{n}"], self[f"length_{n}"]) for n in _numbers(MOST_MEASURES)]

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        self._changes = {n: self._change(n) for n in _numbers(MOST_CHANGES)}
        for number in _numbers(MOST_ALTERATIONS):
            what, minutes = data.get(f"what_{number}"), data.get(f"minutes_{number}")
            if what and minutes is None and f"minutes_{number}" not in self.errors:
                self.add_error(f"minutes_{number}", "Say how many minutes it takes, to plan it.")
            if minutes and not what:
                self.add_error(f"what_{number}", "Say what is to be changed.")
        for number in _numbers(MOST_MEASURES):
            self._need_both(f"measure_{number}", "Say what was measured.", f"length_{number}", "Write it.")
        return data

    def _need_both(self, one: str, words_one: str, other: str, words_other: str) -> bool:
        """Tell whether both fields are filled; one without the other is a fault of that other."""
        has_one, has_other = bool(self.cleaned_data.get(one)), bool(self.cleaned_data.get(other))
        if has_other and not has_one and one not in self.errors:
            self.add_error(one, words_one)
        if has_one and not has_other and other not in self.errors:
            self.add_error(other, words_other)
        return has_one and has_other

    def _change(self, number: int) -> Change | None:
        """The change of a row; None where it is empty or has a fault."""
        data = self.cleaned_data
        amount = f"amount_{number}"
        if not self._need_both(f"place_{number}", "Choose the place.", amount, "Say by how much."):
            return None
        place, way = data[f"place_{number}"].split(":")
        try:
            mm = parse_length(data[amount], self.unit)
        except BadMeasurement as refusal:
            self.add_error(amount, str(refusal))
            return None
        return Change(
            place=place,
            way=way,
            side=data.get(f"side_{number}", ""),
            amount_mm=mm,
            minutes=data.get(f"takes_{number}"),
            in_figure=data.get(f"figure_{number}", False),
            typed=data[amount],
        )

    def changes(self) -> list[Change]:
        return [change for change in self._changes.values() if change is not None]

    def alterations(self) -> list[Alteration]:
        data = self.cleaned_data
        return [
            Alteration(data[f"what_{n}"], data[f"minutes_{n}"])
            for n in _numbers(MOST_ALTERATIONS)
            if data.get(f"what_{n}")
        ]

    def measures(self) -> dict[str, str]:
        data = self.cleaned_data
        return {
            data[f"measure_{n}"]: data[f"length_{n}"]
            for n in _numbers(MOST_MEASURES)
            if data.get(f"measure_{n}")
        }

    def confirmed(self) -> list[str]:
        return list(self.measures()) if self.cleaned_data["measures_confirmed"] else []

    def blame_change(self, refusal: BadFinding) -> None:
        """Put what a service refused of a change at its field."""
        filled = [n for n, change in self._changes.items() if change is not None]
        part = PART_FIELDS.get(refusal.part, "place")
        self.add_error(f"{part}_{filled[refusal.number]}", str(refusal))

    def blame_measures(self, faults: Mapping[str, str]) -> None:
        """Put what was refused of new measures at their fields, name -> why."""
        rows = {self.cleaned_data[f"measure_{n}"]: n for n in _numbers(MOST_MEASURES)}
        for name, fault in faults.items():
            self.add_error(f"length_{rows[name]}" if name in rows else None, fault)


def _numbers(most: int) -> range:
    return range(1, most + 1)


def _text(longest: int, label: str, example: str = "") -> forms.CharField:
    return forms.CharField(
        required=False,
        max_length=longest,
        label=label,
        widget=forms.TextInput(attrs={"placeholder": example} if example else {}),
    )


def _minutes(label: str, example: str = "") -> forms.IntegerField:
    return forms.IntegerField(
        required=False,
        min_value=1,
        max_value=6000,
        label=label,
        widget=forms.NumberInput(attrs={"placeholder": example} if example else {}),
    )


class PhotoForm(forms.Form):
    """A photograph of a fitting."""

    photo = forms.FileField(
        label="A photograph",
        widget=forms.ClearableFileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
        help_text="Only what the work needs. Place, time and camera are taken out of the file.",
    )
