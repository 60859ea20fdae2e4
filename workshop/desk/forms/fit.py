"""A wearer's fit notes as a form: an amount a note, in the workshop's unit; a minus for the other way."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from drafting.body import FIT_NOTES, FitNote
from drafting.errors import BadMeasurement
from drafting.units import Unit, format_length, parse_length
from workshop.desk.editing import VersionForm

_MINUS = ("-", "\u2212")


class FitForm(VersionForm):
    def __init__(self, *args: Any, unit: Unit, fit: Mapping[str, float], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.unit, self.held = unit, fit
        for note in FIT_NOTES.values():
            self.fields[note.name] = forms.CharField(
                label=f"{note.title}, {unit if note.kind == 'length' else 'degrees'}",
                initial=self.written(note, fit[note.name]) if note.name in fit else "",
                help_text=self._help(note),
                max_length=40,
                required=False,
            )

    def _help(self, note: FitNote) -> str:
        low, high = (self.written(note, amount) for amount in (note.low, note.high))
        return f"{note.help} From {low} to {high}."

    def written(self, note: FitNote, amount: float) -> str:
        """An amount as the page shows it."""
        if note.kind == "degrees":
            return f"{amount:g}"
        sign = "-" if amount < 0 else ""
        return f"{sign}{format_length(abs(amount), self.unit)}"

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        data["fit"] = {}
        for note in FIT_NOTES.values():
            text = data.pop(note.name, "")
            # What was left as it was shown is kept exactly, not as it was rounded for the page.
            if note.name in self.held and text == self.fields[note.name].initial:
                data["fit"][note.name] = self.held[note.name]
            elif text:
                self._read(note, text, data["fit"])
        return data

    def _read(self, note: FitNote, text: str, found: dict[str, float]) -> None:
        negative = text.startswith(_MINUS)
        plain = text[1:].strip() if negative else text
        try:
            amount = self._amount(note, plain)
        except (BadMeasurement, ValueError) as refusal:
            words = str(refusal) if isinstance(refusal, BadMeasurement) else "Write a number, like 3 or 0.5."
            self.add_error(note.name, words)
            return
        found[note.name] = -amount if negative else amount

    def _amount(self, note: FitNote, text: str) -> float:
        if text.strip("0.,") == "":
            return 0.0
        return parse_length(text, self.unit) if note.kind == "length" else float(text.replace(",", "."))
