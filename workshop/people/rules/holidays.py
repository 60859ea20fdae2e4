"""Public holidays of a country or a part of it, as the package ``holidays`` knows them.

They are offered, never taken for granted: whether a workshop closes then is its own decision, and a law may
have changed since the package was made.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from types import MappingProxyType

import holidays
from holidays.registry import COUNTRIES

ENGLISH = ("en_US", "en_GB")


@dataclass(frozen=True, slots=True)
class Holiday:
    """A day and what it is called, in English where the package has it."""

    on: date
    name: str


@cache
def countries() -> Mapping[str, str]:
    """Return the countries that the package knows: ISO 3166-1 code -> name, by name."""
    named = {code: module.replace("_", " ").title() for module, (_, code, *_) in COUNTRIES.items()}
    return MappingProxyType(dict(sorted(named.items(), key=lambda pair: pair[1])))


@cache
def regions(country: str) -> Mapping[str, str]:
    """Return the parts of a country that have holidays of their own: code -> name; empty where none has."""
    if country not in countries():
        return MappingProxyType({})
    kind = getattr(holidays, country)
    names = {code: name for name, code in getattr(kind, "subdivisions_aliases", {}).items()}
    return MappingProxyType({code: names.get(code, code) for code in kind.subdivisions})


def public_holidays(country: str, region: str, year: int) -> tuple[Holiday, ...]:
    """Return the public holidays of a year, by day; none for a country or region that is not known.

    Days that a calendar of the moon decides are marked as estimated in their names.
    """
    if country not in countries() or (region and region not in regions(country)):
        return ()
    found = holidays.country_holidays(
        country, subdiv=region or None, years=year, language=_language(country), expand=False
    )
    return tuple(Holiday(on, name) for on, name in sorted(found.items()) if on.year == year)


def _language(country: str) -> str | None:
    """Return English where the country's names are translated, else None for its own language."""
    known = getattr(holidays, country).supported_languages
    return next((language for language in ENGLISH if language in known), None)
