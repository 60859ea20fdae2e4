"""English words that are left in a text of another language."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from babel import Locale

from workshop.management.catalogs import read_catalog

WORD = re.compile(r"[^\W\d_]{2,}")


def words(*texts: str) -> set[str]:
    return {word.lower() for text in texts for word in WORD.findall(text)}


def english_left(english: str, other: str, language: str, typed: Iterable[str] = ()) -> set[str]:
    """Return the words that two texts of the same content share and that nobody typed.

    Words that the other language has too are none: those of its catalog, and its months and weekdays.
    """
    return words(english) & words(other) - words(*typed) - _own(language)


@cache
def _own(language: str) -> set[str]:
    locale = Locale.parse(language)
    names = (*locale.months["format"]["wide"].values(), *locale.days["format"]["wide"].values())
    rows = [row.string for row in read_catalog(language) if row.id]
    strings = [text for row in rows for text in (row if isinstance(row, tuple) else (row,))]
    return words(*names, *(re.sub(r"%\(\w+\)s|<[^>]*>", " ", text) for text in strings))
