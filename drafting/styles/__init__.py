"""The styles that can be drafted, and how their choices are read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Final

from drafting.errors import BadChoice
from drafting.styles.choices import Choice, ChoiceValue, Style, read_all
from drafting.styles.choir_robe import STYLE as CHOIR_ROBE
from drafting.styles.circle_skirt import STYLE as CIRCLE_SKIRT
from drafting.styles.coat_dress import STYLE as COAT_DRESS
from drafting.styles.gored_skirt import STYLE as GORED_SKIRT
from drafting.styles.high_waist_dress import STYLE as HIGH_WAIST_DRESS
from drafting.styles.notched_collar_dress import STYLE as NOTCHED_COLLAR_DRESS
from drafting.styles.party_dress import STYLE as PARTY_DRESS
from drafting.styles.play_dress import STYLE as PLAY_DRESS
from drafting.styles.pleated_skirt import STYLE as PLEATED_SKIRT
from drafting.styles.princess_dress import STYLE as PRINCESS_DRESS
from drafting.styles.school_dress import STYLE as SCHOOL_DRESS
from drafting.styles.sheath_dress import STYLE as SHEATH_DRESS
from drafting.styles.shift_dress import STYLE as SHIFT_DRESS
from drafting.styles.shirt_blouse import STYLE as SHIRT_BLOUSE
from drafting.styles.straight_skirt import STYLE as STRAIGHT_SKIRT
from drafting.styles.tiered_skirt import STYLE as TIERED_SKIRT
from drafting.styles.trousers import STYLE as TROUSERS
from drafting.units import Unit

__all__ = [
    "STYLES",
    "Choice",
    "ChoiceValue",
    "Style",
    "choice_words",
    "customer_words",
    "read_choices",
    "style_of",
]

STYLES: Final[Mapping[str, Style]] = MappingProxyType(
    {
        style.name: style
        for style in (
            NOTCHED_COLLAR_DRESS,
            SCHOOL_DRESS,
            COAT_DRESS,
            CHOIR_ROBE,
            HIGH_WAIST_DRESS,
            PLAY_DRESS,
            SHEATH_DRESS,
            PRINCESS_DRESS,
            SHIFT_DRESS,
            SHIRT_BLOUSE,
            STRAIGHT_SKIRT,
            GORED_SKIRT,
            CIRCLE_SKIRT,
            PLEATED_SKIRT,
            TIERED_SKIRT,
            TROUSERS,
            PARTY_DRESS,
        )
    }
)


def style_of(name: str) -> Style:
    """Return the style. Raises: BadChoice, field "style", where there is none of that name."""
    if name not in STYLES:
        raise BadChoice(f"There is no style {str(name)[:40]!r}; there is {', '.join(STYLES)}.", field="style")
    return STYLES[name]


def read_choices(
    style_name: str, raw: Mapping[str, ChoiceValue], unit: Unit = Unit.MM
) -> dict[str, ChoiceValue]:
    """Return every choice of a style, read and within its limits, the defaults filled in; lengths in mm.

    Lengths may be text in any unit that ``drafting.units`` reads; a bare number is in ``unit``.

    Raises: BadChoice, its field the choice at fault ("style" for an unknown style).
    """
    return read_all(style_of(style_name), raw, unit)


def choice_words(style_name: str, choices: Mapping[str, ChoiceValue], unit: Unit) -> list[tuple[str, str]]:
    """Return the choices as a person reads them: title and value, without what the house decides or what
    makes no difference beside the others.

    Raises: BadChoice for an unknown style.
    """
    return [(choice.title, choice.words(value, unit)) for choice, value in _telling(style_name, choices)]


def customer_words(style_name: str, choices: Mapping[str, ChoiceValue], unit: Unit) -> list[tuple[str, str]]:
    """Return what ``choice_words`` tells, without what goes without saying: no lining, a woven cloth."""
    return [
        (choice.title, choice.words(value, unit))
        for choice, value in _telling(style_name, choices)
        if choice.says_something(value)
    ]


def _telling(style_name: str, choices: Mapping[str, ChoiceValue]) -> Iterator[tuple[Choice, ChoiceValue]]:
    asked = style_of(style_name).choices
    values = {choice.name: choices.get(choice.name, choice.default) for choice in asked}
    for choice in asked:
        value = values[choice.name]
        if choice.matters(values) and not (choice.kind == "length" and float(value) == 0):
            yield choice, value
