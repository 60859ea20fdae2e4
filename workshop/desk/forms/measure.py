"""The measuring form: a field a measurement, as typed, in the workshop's unit or with a unit of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms

from drafting.body import CATALOGUE, Body, Measurement, Question
from drafting.units import Unit, format_length
from workshop.desk.forms.orders import date_input
from workshop.people.rules.measuring import read_measurements


@dataclass(frozen=True)
class MeasureRow:
    """A measurement on the page: its field, and what is estimated where nothing is typed."""

    measurement: Measurement
    field: forms.BoundField
    estimate: str
    error: str


class MeasureForm(forms.Form):
    taken_on = forms.DateField(label="Measured on", widget=date_input())

    def __init__(
        self,
        *args: Any,
        unit: Unit,
        today: date,
        typed: Mapping[str, str] | None = None,
        questions: Iterable[Question] = (),
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.initial.update({"taken_on": today, **(typed or {})})
        self.unit = unit
        self.today = today
        for row in CATALOGUE.values():
            self.fields[row.name] = forms.CharField(
                label=row.word,
                required=row.essential,
                max_length=60,
                widget=forms.TextInput(attrs={"autocomplete": "off"}),
                error_messages={"required": f"The {row.word} is always needed; the rest can be estimated."},
            )
        self.questions = tuple(questions)

    def clean(self) -> dict[str, Any]:
        """Every fault at once: what cannot be read is told beside what is missing."""
        data: dict[str, Any] = super().clean() or {}
        reading = read_measurements({name: data[name] for name in CATALOGUE if data.get(name)}, self.unit)
        for name, fault in reading.errors.items():
            if name not in self.errors:
                self.add_error(name, fault)
        return data

    def ask(self, questions: Iterable[Question]) -> None:
        """Put questions on the page, each to be answered with a tick before the set is kept."""
        self.questions = tuple(questions)

    def typed(self) -> dict[str, str]:
        """What was written, by measurement, without the empty ones."""
        data = self.cleaned_data
        return {name: data[name].strip() for name in CATALOGUE if data.get(name, "").strip()}

    def confirmed(self) -> list[str]:
        """The measurements whose questions were ticked as measured right."""
        return self.data.getlist("confirmed") if hasattr(self.data, "getlist") else []

    def rows(self, body: Body | None) -> list[MeasureRow]:
        """The measurements in the order of taking; estimates come from ``body`` where there is one."""
        return [self._row(row, body) for row in CATALOGUE.values()]

    def _row(self, row: Measurement, body: Body | None) -> MeasureRow:
        measure = body.measure(row.name) if body is not None else None
        if measure is None or measure.given:
            return MeasureRow(row, self[row.name], "", "")
        return MeasureRow(
            row,
            self[row.name],
            format_length(measure.value, self.unit),
            format_length(measure.error or 0.0, self.unit),
        )
