"""What a version of a quote changes against the one before, in words for the customer.

The two are compared by the English words that they keep, so that another language alone is no change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from costing import speech
from costing.rules.cloth_words import cloth_words
from costing.style_speech import choice_title, choice_value, cloth_title, style_title


@dataclass(frozen=True, slots=True)
class Offer:
    """A version as it is compared: its stored content, its price with tax and its deposit."""

    content: Mapping[str, Any]
    payable: Decimal
    deposit: Decimal
    currency: str

    def money(self, amount: Decimal) -> str:
        return speech.money(amount, self.currency)


def changes(before: Offer, after: Offer) -> list[str]:
    """Return each difference as a line: garments, their choices, cloths and prices, then the whole."""
    return [*_garments(before, after), *_whole(before, after)]


def _garments(before: Offer, after: Offer) -> Iterator[str]:
    old, new = _by_id(before), _by_id(after)
    for key, row in new.items():
        if key not in old:
            yield _("Added: %(title)s, %(price)s") % {
                "title": row["title"],
                "price": after.money(Decimal(row["amount"])),
            }
    for key, row in old.items():
        if key not in new:
            yield _("Left out: %(title)s") % {"title": row["title"]}
        else:
            yield from _garment(before, row, new[key])


def _by_id(offer: Offer) -> dict[Any, Mapping[str, Any]]:
    """Garments by key; those of a content that has none by their place."""
    rows = offer.content["garments"]
    return {row.get("garment_id", f"place {place}"): row for place, row in enumerate(rows)}


def _garment(offer: Offer, old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[str]:
    title = new["title"]
    if old["title"] != title:
        yield _("%(before)s is now called %(title)s") % {"before": old["title"], "title": title}
    if old.get("style") != new.get("style"):
        was, now = (_said(style_title, row.get("style")) for row in (old, new))
        yield _instead(title, _("style"), was, now)
    for word, was, now in _pairs(*(map(tuple, row["choices"]) for row in (old, new))):
        said = [_said(choice_value, word, value) for value in (was, now)]
        yield _instead(title, speech.inside(choice_title(word)), *said)
    for word, was, now in _pairs(cloth_words(old), cloth_words(new)):
        yield _instead(title, speech.inside(cloth_title(word)), was, now)
    if Decimal(old["amount"]) != Decimal(new["amount"]):
        was, now = (offer.money(Decimal(row["amount"])) for row in (old, new))
        yield _("%(title)s: %(now)s instead of %(before)s") % {"title": title, "now": now, "before": was}


def _pairs(
    old: Iterable[tuple[str, str]], new: Iterable[tuple[str, str]]
) -> Iterator[tuple[str, str | None, str | None]]:
    """What differs between two lists of word and value: the word, what it was, what it is."""
    before, after = dict(old), dict(new)
    for word in dict.fromkeys([*before, *after]):
        if before.get(word) != after.get(word):
            yield word, before.get(word), after.get(word)


def _said(say: Callable[..., str], *words: str | None) -> str | None:
    """Words in the language that is spoken; nothing stays nothing."""
    return None if words[-1] is None else say(*words)


def _instead(title: str, word: str, was: str | None, now: str | None) -> str:
    said = {"title": title, "word": word, "now": now, "before": was}
    if now is None:
        return _("%(title)s, %(word)s: no longer %(before)s") % said
    if was is None:
        return _("%(title)s, %(word)s: %(now)s") % said
    return _("%(title)s, %(word)s: %(now)s instead of %(before)s") % said


def _whole(before: Offer, after: Offer) -> Iterator[str]:
    was, now = (speech.day(date.fromisoformat(offer.content["order"]["due_on"])) for offer in (before, after))
    if was != now:
        yield _("Wanted for %(now)s instead of %(before)s") % {"now": now, "before": was}
    if before.payable != after.payable:
        was, now = before.money(before.payable), after.money(after.payable)
        yield _("Price in all: %(now)s instead of %(before)s") % {"now": now, "before": was}
    if before.deposit != after.deposit:
        was, now = before.money(before.deposit), after.money(after.deposit)
        yield _("Deposit: %(now)s instead of %(before)s") % {"now": now, "before": was}
    known = {_place(option) for option in before.content.get("options", ())}
    for option in after.content.get("options", ()):
        if _place(option) not in known:
            yield _("New to choose: %(title)s") % {"title": option["title"]}
    if before.content["terms"] != after.content["terms"]:
        yield _("The terms are worded anew")


def _place(option: Mapping[str, Any]) -> tuple[Any, Any]:
    """What an option is about, whatever the language of its title."""
    return option["garment_id"], option["kind"]
