"""Reads JSON values that somebody else may have written: every refusal names the place."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from enum import StrEnum
from typing import TypeVar

from drafting.body import CATALOGUE, FIT_NOTES, LATER, Body, Measure
from drafting.errors import CannotDraft
from drafting.geometry import Point

_Word = TypeVar("_Word", bound=StrEnum)
_FARTHEST = 1e6  # mm; no pattern reaches so far


class Reader:
    """A JSON value and its place in the file. All methods raise CannotDraft(field=place)."""

    def __init__(self, value: object, place: str = "") -> None:
        self.value = value
        self.place = place

    def refused(self, what: str) -> CannotDraft:
        """The error that says what is wrong here."""
        place = self.place or "the draft"
        return CannotDraft(f"{place} {what}", field=self.place)

    def _mapping(self) -> Mapping[str, object]:
        if not isinstance(self.value, Mapping):
            raise self.refused("must be a JSON object")
        return self.value

    def has(self, key: str) -> bool:
        """Whether the key is there and not null."""
        return self._mapping().get(key) is not None

    def child(self, key: str) -> Reader:
        """The value under a key; None where it is missing."""
        return Reader(self._mapping().get(key), f"{self.place}.{key}" if self.place else key)

    def _needed(self, key: str) -> Reader:
        found = self.child(key)
        if key not in self._mapping():
            raise found.refused("is missing")
        return found

    def items(self, key: str, *, optional: bool = False) -> list[Reader]:
        """The members of a list."""
        if optional and not self.has(key):
            return []
        return self._needed(key)._members()

    def _members(self) -> list[Reader]:
        if not isinstance(self.value, list):
            raise self.refused("must be a list")
        return [Reader(one, f"{self.place}[{i}]") for i, one in enumerate(self.value)]

    def named(self, key: str) -> Iterator[tuple[str, Reader]]:
        """The members of an object, by name."""
        found = self._needed(key)
        for name in found._mapping():
            yield name, found.child(name)

    def text(self, key: str, default: str | None = None) -> str:
        if default is not None and not self.has(key):
            return default
        return self._needed(key)._text()

    def _text(self) -> str:
        if not isinstance(self.value, str):
            raise self.refused("must be text")
        return self.value

    def texts(self, key: str, *, optional: bool = False) -> tuple[str, ...]:
        return tuple(one._text() for one in self.items(key, optional=optional))

    def text_rows(self, key: str, width: int) -> tuple[tuple[str, ...], ...]:
        """A list of lists of texts, each of the same width."""
        rows = []
        for row in self.items(key):
            words = tuple(word._text() for word in row._members())
            if len(words) != width:
                raise row.refused(f"must hold {width} names")
            rows.append(words)
        return tuple(rows)

    def number(self, key: str) -> float:
        return self._needed(key)._number()

    def _number(self) -> float:
        if isinstance(self.value, bool) or not isinstance(self.value, int | float):
            raise self.refused("must be a number")
        if isinstance(self.value, int) and abs(self.value) > 10**15:
            raise self.refused("is too large")
        if not math.isfinite(self.value):
            raise self.refused("must be finite")
        return float(self.value)

    def number_or_none(self, key: str) -> float | None:
        return self.number(key) if self.has(key) else None

    def number_list(self, key: str) -> tuple[float, ...]:
        return tuple(one._number() for one in self.items(key))

    def numbers(self, key: str) -> dict[str, float]:
        """An object of numbers; empty where it is missing."""
        return {name: one._number() for name, one in self.named(key)} if self.has(key) else {}

    def whole(self, key: str, default: int | None = None) -> int:
        if default is not None and not self.has(key):
            return default
        number = self.number(key)
        if number != int(number) or number < 0:
            raise self.child(key).refused("must be a whole number, not negative")
        return int(number)

    def flag(self, key: str, default: bool | None = None) -> bool:
        if default is not None and not self.has(key):
            return default
        return self._needed(key)._flag()

    def _flag(self) -> bool:
        if not isinstance(self.value, bool):
            raise self.refused("must be true or false")
        return self.value

    def flags(self, key: str, count: int) -> tuple[bool, ...]:
        """A list of flags; all false where it is missing."""
        if not self.has(key):
            return (False,) * count
        found = tuple(one._flag() for one in self.items(key))
        if len(found) != count:
            raise self.child(key).refused(f"must hold {count} values")
        return found

    def one_of(self, key: str, words: type[_Word], default: _Word | None = None) -> _Word:
        if default is not None and not self.has(key):
            return default
        text = self.text(key)
        if text not in list(words):
            raise self.child(key).refused(f"must be one of {', '.join(words)}")
        return words(text)

    def point(self, key: str) -> Point:
        return self._needed(key)._point()

    def _point(self) -> Point:
        members = self._members()
        if len(members) != 2:
            raise self.refused("must be a point [x, y]")
        x, y = (one._number() for one in members)
        if max(abs(x), abs(y)) > _FARTHEST:
            raise self.refused(f"lies farther than {_FARTHEST:.0f} mm away")
        return Point(x, y)

    def points(self, key: str, least: int = 0) -> tuple[Point, ...]:
        found = tuple(one._point() for one in self.items(key))
        if len(found) < least:
            raise self.child(key).refused(f"must hold {least} points or more")
        return found

    def choices(self, key: str) -> dict[str, str | float | int | bool]:
        """An object of texts, numbers and flags."""
        found: dict[str, str | float | int | bool] = {}
        for name, one in self.named(key):
            if isinstance(one.value, str | bool | int):
                found[name] = one.value
            else:
                found[name] = one._number()
        return found

    def body(self, key: str, age_key: str, fit_key: str) -> Body:
        """A body as it was drafted from: values, which of them were estimated, and its fit notes."""
        measures = {}
        for name, row in self.named(key):
            if name not in CATALOGUE:
                raise row.refused("is no measurement known here")
            measures[name] = Measure(row.number("value"), row.flag("given"), row.number_or_none("error"))
        missing = [name for name in CATALOGUE if name not in measures and name not in LATER]
        if missing:
            raise self.child(key).refused(f"lacks {missing[0]}")
        fit = self.numbers(fit_key)
        if unknown := sorted(set(fit) - set(FIT_NOTES)):
            raise self.child(fit_key).refused(f"has {unknown[0]}, which is no fit note known here")
        return Body.stored(measures, self.number_or_none(age_key), fit)
