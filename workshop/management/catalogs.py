"""The catalogs of words for customers: what there is to say, one file a language in ``workshop/locale/``.

Whatever the source marks for translation is found by reading it; words that come out of registries (styles
and their choices, stages, states) are asked of these.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_python
from babel.messages.pofile import read_po, write_po
from django.conf import settings
from django.utils.translation.template import templatize

from costing.models import Payment, QuoteState
from costing.style_speech import all_words
from workshop.orders.rules.stages import DELIVERED, STAGES, progress_words

FILE = "django.po"
HEADER = """\
msgid ""
msgstr ""
"Language: {language}\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Plural-Forms: {plurals}\\n"

"""
_KEYWORDS: dict[str, Any] = {
    "_": None,
    "gettext": None,
    "gettext_lazy": None,
    "gettext_noop": None,
    "ngettext": (1, 2),
    "pgettext": ((1, "c"), 2),
}
_ROOMS = ("costing", "workshop")


@dataclass(frozen=True, slots=True, order=True)
class Message:
    """What is to be said in each language: the English words, and for what number or in what context."""

    context: str
    words: str
    plural: str = ""

    @property
    def id(self) -> str | tuple[str, str]:
        return (self.words, self.plural) if self.plural else self.words


def messages() -> list[Message]:
    """Everything that a customer may be told, in a steady order."""
    return sorted({*_marked(), *_of_registries()})


def languages_kept() -> list[str]:
    """The languages that have a catalog, by the names of their folders."""
    return sorted(path.parts[-3] for path in _root().glob(f"*/LC_MESSAGES/{FILE}"))


def read_catalog(folder: str) -> Catalog:
    path = _path(folder)
    return read_po(BytesIO(path.read_bytes() if path.exists() else b""), locale=folder)


def write_catalog(folder: str) -> tuple[int, int]:
    """Bring a catalog up to date, or begin it; words that nothing asks for any more go.

    Returns: how many messages there are, and how many still want words.
    """
    kept = read_catalog(folder)
    catalog = Catalog(locale=folder)
    for message in messages():
        before = kept.get(message.id, message.context or None)
        catalog.add(message.id, before.string if before else None, context=message.context or None)
    path = _path(folder)
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        # A header of our own, without a date: the same words make the same file.
        file.write(HEADER.format(language=folder, plurals=catalog.plural_forms).encode())
        write_po(file, catalog, width=100, omit_header=True)
    wanting = [message for message in catalog if message.id and not all(_strings(message))]
    return len(catalog), len(wanting)


def _strings(message: Any) -> tuple[str, ...]:
    return message.string if isinstance(message.string, tuple) else (message.string or "",)


def _root() -> Path:
    return Path(settings.LOCALE_PATHS[0])


def _path(folder: str) -> Path:
    return _root() / folder / "LC_MESSAGES" / FILE


def _marked() -> Iterator[Message]:
    base = Path(settings.BASE_DIR)
    for room in _ROOMS:
        for path in (base / room).rglob("*.py"):
            yield from _in_python(path.read_bytes())
    for path in (base / "templates").rglob("*.*"):
        yield from _in_python(_as_python(path.read_text()))


_QUOTED = r"""u?(?:'(?:\\.|[^'\\])*'|"(?:\\.|[^"\\])*")"""
_CALL = re.compile(rf"\b(?:n|p)?gettext\({_QUOTED}(?:, ?{_QUOTED})?(?:, ?count)?\)")


def _as_python(template: str) -> bytes:
    """A template's marked words as calls, each on a line of its own."""
    return "\n".join(_CALL.findall(templatize(template))).encode()


def _in_python(source: bytes) -> Iterator[Message]:
    for _line, keyword, found, _comments in extract_python(BytesIO(source), _KEYWORDS, (), {}):
        yield from _message(str(keyword), found)


def _message(keyword: str, found: Any) -> Iterator[Message]:
    """One call; a call with anything but plain words is none: its words come from a registry."""
    words = list(found) if isinstance(found, tuple) else [found]
    if keyword == "pgettext" and all(isinstance(word, str) for word in words[:2]):
        yield Message(words[0], words[1])
    elif keyword == "ngettext" and all(isinstance(word, str) for word in words[:2]):
        yield Message("", words[0], words[1])
    elif keyword not in {"pgettext", "ngettext"} and isinstance(words[0], str):
        yield Message("", words[0])


def _of_registries() -> Iterator[Message]:
    for context, words in all_words():
        yield Message(context, words)
    for stage in (*STAGES, DELIVERED):
        yield Message("stage", stage)
        yield Message("", progress_words(stage))
    for label in QuoteState.labels:
        yield Message("quote", str(label))
    for label in Payment.Method.labels:
        yield Message("paid by", str(label))
