"""The house rules as a form: a field a rule, lengths in the workshop's unit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from django import forms

from drafting.errors import BadMeasurement
from drafting.house import HOUSE_GROUPS, HOUSE_RULES, HouseRule
from drafting.units import Unit, format_length, parse_length
from workshop.desk.editing import VersionForm


class HouseRulesForm(VersionForm):
    def __init__(self, *args: Any, unit: Unit, values: Mapping[str, float], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.unit = unit
        for rule in HOUSE_RULES.values():
            self.fields[rule.name] = forms.CharField(
                label=self._label(rule),
                initial=self.written(rule, values[rule.name]),
                help_text=self._help(rule),
                max_length=60,
            )

    def groups(self) -> Iterator[tuple[str, list[forms.BoundField]]]:
        """Each heading with the fields of its rules."""
        for title, rules in HOUSE_GROUPS.items():
            yield title, [self[rule.name] for rule in rules]

    def written(self, rule: HouseRule, value: float) -> str:
        return format_length(value, self.unit) if rule.kind == "length" else f"{value:g}"

    def _label(self, rule: HouseRule) -> str:
        ends = {"length": f", {self.unit}", "degrees": ", degrees"}
        return rule.title + ends.get(rule.kind, "")

    def _help(self, rule: HouseRule) -> str:
        low, high, usual = (self.written(rule, value) for value in (rule.low, rule.high, rule.default))
        return f"{rule.help} From {low} to {high}; {usual} unless changed."

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        for rule in HOUSE_RULES.values():
            if rule.name in data:
                self._read(rule, data)
        return data

    def _read(self, rule: HouseRule, data: dict[str, Any]) -> None:
        text = data[rule.name]
        # The default itself must come back exactly, not as it was rounded for the page.
        if text == self.fields[rule.name].initial:
            data[rule.name] = None
            return
        try:
            data[rule.name] = parse_length(text, self.unit) if rule.kind == "length" else float(text)
        except BadMeasurement as refusal:
            self.add_error(rule.name, str(refusal))
        except ValueError:
            self.add_error(rule.name, "Write a number, like 3 or 0.5.")

    def values(self, held: Mapping[str, float]) -> dict[str, float]:
        """All rules: those that were changed as typed, the others as held."""
        data = self.cleaned_data
        return {name: held[name] if data[name] is None else data[name] for name in HOUSE_RULES}
