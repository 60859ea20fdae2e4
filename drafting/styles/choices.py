"""What may be chosen of a style, and how a choice as typed is read."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Literal

from drafting.body import Body
from drafting.errors import BadChoice, BadMeasurement
from drafting.pattern import Draft
from drafting.units import Unit, format_length, parse_length

ChoiceValue = str | float | int | bool
Recipe = Callable[[Body, Mapping[str, ChoiceValue], Mapping[str, float]], Draft]
UNSAID = ("none", "usual", "as the house has it")
"""Values that add nothing to a garment or leave it as is usual: a customer reads nothing of them."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing to choose. A length of 0 (the default of most) leaves it to the house rule and the wearer.

    ``only_with``: another choice and those of its values with which this one matters; with others it is
    neither asked nor told. ``unsaid``: values that go without saying to a customer.
    """

    name: str
    title: str
    kind: Literal["option", "length", "count", "switch"]
    default: ChoiceValue
    options: tuple[tuple[str, str], ...] = ()  # (value, label)
    low: float | None = None
    high: float | None = None
    help: str = ""
    only_with: tuple[str, tuple[ChoiceValue, ...]] | None = None
    unsaid: tuple[ChoiceValue, ...] = UNSAID

    def matters(self, choices: Mapping[str, ChoiceValue]) -> bool:
        """Whether it makes a difference beside these choices; with one that a style does not ask it does."""
        if self.only_with is None or self.only_with[0] not in choices:
            return True
        return choices[self.only_with[0]] in self.only_with[1]

    def says_something(self, value: ChoiceValue) -> bool:
        """Whether a customer learns anything from this value."""
        return bool(value) and value not in self.unsaid

    def read(self, raw: object, unit: Unit) -> ChoiceValue:
        """Return the value of a choice as typed; lengths in mm. Raises: BadChoice."""
        if self.kind == "option":
            return self._option(raw)
        if self.kind == "switch":
            return self._switch(raw)
        if self.kind == "count":
            return self._count(raw)
        return self._length(raw, unit)

    def words(self, value: ChoiceValue, unit: Unit) -> str:
        """The value as a person reads it."""
        if self.kind == "option":
            return dict(self.options).get(str(value), str(value))
        if self.kind == "switch":
            return "yes" if value else "no"
        if self.kind == "count":
            return str(value)
        return f"{format_length(float(value), unit)} {unit}"

    def _option(self, raw: object) -> str:
        value = str(raw).strip()
        if value not in {option for option, _ in self.options}:
            known = ", ".join(option for option, _ in self.options)
            raise BadChoice(f"{self.title}: {value[:40]!r} is not one of {known}.", field=self.name)
        return value

    def _switch(self, raw: object) -> bool:
        word = str(raw).strip().lower()
        if word in {"true", "yes", "on", "1"}:
            return True
        if word in {"false", "no", "off", "0"}:
            return False
        raise BadChoice(f"{self.title}: say yes or no.", field=self.name)

    def _count(self, raw: object) -> int:
        try:
            number = float(str(raw))
        except ValueError:
            number = float("nan")
        if isinstance(raw, bool) or not isfinite(number) or number != int(number):
            raise BadChoice(f"{self.title}: give a whole number.", field=self.name)
        if not (self.low or 0) <= number <= (self.high or 0):
            raise BadChoice(
                f"{self.title}: {number:.6g} is not between {self.low:g} and {self.high:g}.", field=self.name
            )
        return int(number)

    def _length(self, raw: object, unit: Unit) -> float:
        if isinstance(raw, bool) or not isinstance(raw, str | int | float):
            raise BadChoice(f"{self.title}: give a length.", field=self.name)
        try:
            value = 0.0 if self._is_nothing(raw) else parse_length(raw, unit)
        except BadMeasurement as refusal:
            raise BadChoice(f"{self.title}: {refusal}", field=self.name) from None
        if value == 0.0 and self.default == 0.0:
            return 0.0
        low, high = self.low or 0.0, self.high or 0.0
        if not low - 1e-6 <= value <= high + 1e-6:
            shown = " is not between ".join(
                (format_length(value, unit), f"{format_length(low, unit)} and {format_length(high, unit)}")
            )
            raise BadChoice(f"{self.title}: {shown} {unit}.", field=self.name)
        return value

    @staticmethod
    def _is_nothing(raw: str | int | float) -> bool:
        if isinstance(raw, str):
            return raw.strip() in {"", "0", "0.0", "0,0"}
        return raw == 0


@dataclass(frozen=True, slots=True)
class Clash:
    """Two choices that cannot go together: ``name`` being one of ``values``, ``other`` one of ``others``.

    ``reason`` says why in a dressmaker's words; it is shown beside the choice that is greyed, and is the
    refusal's message.
    """

    name: str
    values: tuple[ChoiceValue, ...]
    other: str
    others: tuple[ChoiceValue, ...]
    reason: str

    def holds(self, choices: Mapping[str, ChoiceValue]) -> bool:
        """Whether these choices, all of them read, clash so."""
        return choices.get(self.name) in self.values and choices.get(self.other) in self.others


@dataclass(frozen=True, slots=True)
class Style:
    """A garment that can be drafted. ``needs`` names the measurements that it reads."""

    name: str
    title: str
    summary: str
    choices: tuple[Choice, ...]
    needs: tuple[str, ...]
    recipe: Recipe
    clashes: tuple[Clash, ...] = ()


def read_all(style: Style, raw: Mapping[str, ChoiceValue], unit: Unit) -> dict[str, ChoiceValue]:
    """Return every choice of the style, the defaults filled in.

    Raises: BadChoice (see ``read_choices``), also where two choices cannot go together.
    """
    known = {choice.name for choice in style.choices}
    for name in raw:
        if name not in known:
            raise BadChoice(
                f"{style.title} has no choice {str(name)[:40]!r}; it has {', '.join(sorted(known))}.",
                field=str(name)[:40],
            )
    read = {
        choice.name: choice.read(raw[choice.name], unit)
        if choice.name in raw and raw[choice.name] != ""
        else choice.default
        for choice in style.choices
    }
    for clash in style.clashes:
        if clash.holds(read):
            raise BadChoice(clash.reason, field=clash.other)
    return read
