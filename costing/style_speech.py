"""The words of styles, their choices and their cloths in the language that is spoken now.

The pattern engine knows English only, and a quote keeps the English words; they are put into another language
where they are shown. A choice's ways are told apart by its title: "straight" of a leg is another word than
"straight" of a skirt where adjectives agree.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from django.utils.translation import gettext, pgettext

from costing import speech
from costing.rules.cloth_words import WORDS, cloth_words
from drafting.output.garment import Captions
from drafting.styles import STYLES

STYLE, CHOICE, SWITCH, CLOTH, VIEW = "style", "choice", "switch", "cloth", "view"


def style_title(title: str) -> str:
    return pgettext(STYLE, title)


def choice_title(title: str) -> str:
    return pgettext(CHOICE, title)


def choice_value(title: str, value: str) -> str:
    """The value of a choice as ``Choice.words`` writes it: a way, yes or no, a count, or a length."""
    if value in {"yes", "no"}:
        return pgettext(SWITCH, value)
    if re.fullmatch(r"\d+\.\d+ \w+", value):
        return value.replace(".", speech.decimal_mark())
    return pgettext(title, value)


def cloth_title(word: str) -> str:
    """The word for the cloth of a role, as ``cloth_words`` gives it."""
    return pgettext(CLOTH, word)


def made_of(garment: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    """Cloths and choices of a garment as a quote keeps it: each a word and its value, for the customer."""
    return (
        *((cloth_title(word), name) for word, name in cloth_words(garment)),
        *((choice_title(title), choice_value(title, value)) for title, value in garment["choices"]),
    )


def captions_of(style: str) -> Captions:
    """The words of a garment's drawing for the customer, whom its pieces and measurements do not concern."""
    return Captions(
        front=pgettext(VIEW, "front"),
        back=pgettext(VIEW, "back"),
        title=style_title(STYLES[style].title),
        described=gettext("The finished garment, front and back."),
        nothing=gettext("There is no drawing of this garment."),
    )


def all_words() -> Iterator[tuple[str, str]]:
    """Every word that a style may bring to a paper, with the context that it is looked up by."""
    for words in WORDS.values():
        yield CLOTH, words
    for answer in ("yes", "no"):
        yield SWITCH, answer
    for side in ("front", "back"):
        yield VIEW, side
    for style in STYLES.values():
        yield STYLE, style.title
        for choice in style.choices:
            yield CHOICE, choice.title
            for _, words in choice.options:
                yield choice.title, words
