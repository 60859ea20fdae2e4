"""The workshop's language: who speaks it when, and how it writes money, numbers, days and times.

A page or a paper for customers is made inside ``speaking``; whatever is worded meanwhile is in that language.
The words are in the catalogs under ``workshop/locale/``, one a language, found by the English words. Days and
numbers are written as the Unicode Common Locale Data Repository has it, read through Babel; English days as
this house has always written them: the day before the month, no comma after the weekday.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from typing import Any

from babel import Locale
from babel.dates import format_date
from django.conf import settings
from django.utils import translation

from costing.rules.money import format_money

ENGLISH = "en"
_LOCALES = {ENGLISH: "en_GB"}
"""Languages that are not written as their commonest country writes them."""

_CAPITAL_NOUNS = {"de"}
_HOUSE_PATTERNS = {ENGLISH: ("EEEE d MMMM y", "EEEE d MMMM")}
"""Day with its weekday, with and without the year, where it differs from the repository."""


def languages() -> dict[str, str]:
    """The languages that there are catalogs for: code -> its own name."""
    return dict(settings.LANGUAGES)


def language_of(content: Mapping[str, Any]) -> str:
    """The language of a paper by its stored content; one from before there were any is English."""
    return str(content.get("language", ENGLISH))


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Word whatever is made inside in a language; in English where its catalog was taken away since."""
    with translation.override(language if language in languages() else ENGLISH):
        yield


def spoken() -> str:
    """The language that is spoken now."""
    return translation.get_language() or ENGLISH


def money(amount: Decimal, currency: str, *, with_code: bool = True) -> str:
    """Write an amount with its currency's decimals and the language's marks (see ``format_money``)."""
    symbols = _symbols(spoken())
    return format_money(
        amount,
        currency,
        with_code=with_code,
        decimal_mark=symbols["decimal"],
        thousands_mark=symbols["group"],
    )


def number(value: Decimal | str) -> str:
    """Write a number with the decimals that it has: ``5.50`` -> ``5,50``."""
    return f"{Decimal(value):f}".replace(".", decimal_mark())


def decimal_mark() -> str:
    return _symbols(spoken())["decimal"]


def day(on: date) -> str:
    """``5 December 2026``, ``5. Dezember 2026``."""
    return format_date(on, "long", locale=_locale(spoken()))


def weekday(on: date) -> str:
    """``Saturday 5 December 2026``, ``Samstag, 5. Dezember 2026``."""
    return format_date(on, _weekday_patterns(spoken())[0], locale=_locale(spoken()))


def weekday_this_year(on: date) -> str:
    """``Saturday 5 December``, ``Samstag, 5. Dezember``: where the year is plain."""
    return format_date(on, _weekday_patterns(spoken())[1], locale=_locale(spoken()))


def clock(at: datetime) -> str:
    """``14:30``: the time on the wall of the moment's own zone, alike in all languages."""
    return f"{at:%H:%M}"


def inside(title: str) -> str:
    """A title as it stands inside a sentence: without capitals, but where nouns have them anywhere."""
    return title if spoken() in _CAPITAL_NOUNS else title.lower()


@cache
def _locale(language: str) -> Locale:
    return Locale.parse(_LOCALES.get(language, language.replace("-", "_")))


def _symbols(language: str) -> Mapping[str, str]:
    symbols: Mapping[str, str] = _locale(language).number_symbols["latn"]
    return symbols


@cache
def _weekday_patterns(language: str) -> tuple[str, str]:
    if language in _HOUSE_PATTERNS:
        return _HOUSE_PATTERNS[language]
    locale = _locale(language)
    # The repository gives the weekday shortened; the letters EEEE ask for the whole of it.
    without_year = re.sub("E+", "EEEE", locale.datetime_skeletons["MMMMEd"].pattern)
    return locale.date_formats["full"].pattern, without_year
