"""Two people at one row: a form remembers what it was opened on, and the second to save is told.

What was typed stays on the page, beside what holds now; saving again puts it in place.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Self

from django import forms

from costing.services import ChangedMeanwhile
from workshop.errors import EditedMeanwhile
from workshop.pages import DAMAGED, refusals_on

CONFLICTS = (EditedMeanwhile, ChangedMeanwhile)


class VersionForm(forms.Form):
    """A form of a row that others edit, too; ``initial`` says what the row holds now, its version with it."""

    expected_version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.meanwhile: list[tuple[str, Any]] = []

    @classmethod
    def opened_on(cls, row: Any, data: Any = None) -> Self:
        """The form of a row that has its fields under the same names."""
        held = {name: getattr(row, name) for name in cls.base_fields if name != "expected_version"}
        return cls(data or None, initial={**held, "expected_version": row.version})

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        if "expected_version" in self.errors:
            # A hidden field came back broken: say so where it can be read, and let sending again work.
            self.add_error(None, DAMAGED)
            self._stand_on_now()
        return data

    def note_conflict(self, *beside: forms.BaseForm) -> None:
        """Put into ``meanwhile`` what holds now where it is not what was typed, as (label, value)."""
        self._stand_on_now()
        found = [row for form in (self, *beside) for row in _differences(form)]
        self.meanwhile = found or [("The same", "as you typed")]

    def _stand_on_now(self) -> None:
        data = self.data.copy()  # type: ignore[attr-defined]  # a QueryDict cannot be changed in place
        data[self.add_prefix("expected_version")] = str(self.initial.get("expected_version", 0))
        self.data = data


@contextmanager
def edits_on(form: VersionForm, *beside: forms.BaseForm) -> Iterator[None]:
    """Refusals go on the form, or on the first of those ``beside`` it; a conflict goes into ``meanwhile``."""
    try:
        with refusals_on(beside[0] if beside else form, except_=CONFLICTS):
            yield
    except CONFLICTS:
        form.note_conflict(*beside)


def _differences(form: forms.BaseForm) -> list[tuple[str, Any]]:
    fields = [form[name] for name in form.changed_data if not form[name].is_hidden]
    return [(str(field.label), _in_words(field)) for field in fields]


def _in_words(field: forms.BoundField) -> Any:
    """What a field was opened on, as the page would show it."""
    value = field.initial
    if isinstance(value, bool):
        return "yes" if value else "no"
    choices = dict(getattr(field.field, "choices", ()))
    if isinstance(value, list | tuple):
        return ", ".join(str(choices.get(one, one)) for one in value)
    return choices.get(value, value)
