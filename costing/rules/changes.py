"""What a version of a quote changes against the one before, in words for the customer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from costing.rules.money import format_money


@dataclass(frozen=True, slots=True)
class Offer:
    """A version as it is compared: its stored content, its price with tax and its deposit."""

    content: Mapping[str, Any]
    payable: Decimal
    deposit: Decimal
    currency: str

    def money(self, amount: Decimal) -> str:
        return format_money(amount, self.currency)


def changes(before: Offer, after: Offer) -> list[str]:
    """Return each difference as a line: garments, their choices, cloths and prices, then the whole."""
    return [*_garments(before, after), *_whole(before, after)]


def _garments(before: Offer, after: Offer) -> Iterator[str]:
    old, new = _by_id(before), _by_id(after)
    for key, row in new.items():
        if key not in old:
            yield f"Added: {row['title']}, {after.money(Decimal(row['amount']))}"
    for key, row in old.items():
        if key not in new:
            yield f"Left out: {row['title']}"
        else:
            yield from _garment(before, row, new[key])


def _by_id(offer: Offer) -> dict[Any, Mapping[str, Any]]:
    """Garments by key; those of a content that has none by their place."""
    rows = offer.content["garments"]
    return {row.get("garment_id", f"place {place}"): row for place, row in enumerate(rows)}


def _garment(offer: Offer, old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[str]:
    title = new["title"]
    if old["title"] != title:
        yield f"{old['title']} is now called {title}"
    if old.get("style") != new.get("style"):
        yield _instead(title, "style", old.get("style"), new.get("style"))
    for word, was, now in _pairs(*(map(tuple, row["choices"]) for row in (old, new))):
        yield _instead(title, word.lower(), was, now)
    for word, was, now in _pairs(_cloths(old), _cloths(new)):
        yield _instead(title, f"{word} cloth", was, now)
    if Decimal(old["amount"]) != Decimal(new["amount"]):
        was, now = (offer.money(Decimal(row["amount"])) for row in (old, new))
        yield f"{title}: {now} instead of {was}"


def _cloths(row: Mapping[str, Any]) -> list[tuple[str, str]]:
    """``shell: Satin`` as a pair."""
    parts = (words.partition(": ") for words in row.get("cloths", ()))
    return [(role, cloth) for role, _, cloth in parts]


def _pairs(
    old: Iterable[tuple[str, str]], new: Iterable[tuple[str, str]]
) -> Iterator[tuple[str, str | None, str | None]]:
    """What differs between two lists of word and value: the word, what it was, what it is."""
    before, after = dict(old), dict(new)
    for word in dict.fromkeys([*before, *after]):
        if before.get(word) != after.get(word):
            yield word, before.get(word), after.get(word)


def _instead(title: str, word: str, was: str | None, now: str | None) -> str:
    if now is None:
        return f"{title}, {word}: no longer {was}"
    return f"{title}, {word}: {now}" + ("" if was is None else f" instead of {was}")


def _whole(before: Offer, after: Offer) -> Iterator[str]:
    due = [date.fromisoformat(offer.content["order"]["due_on"]) for offer in (before, after)]
    if due[0] != due[1]:
        yield f"Wanted for {due[1].day} {due[1]:%B %Y} instead of {due[0].day} {due[0]:%B %Y}"
    if before.payable != after.payable:
        yield f"Price in all: {after.money(after.payable)} instead of {before.money(before.payable)}"
    if before.deposit != after.deposit:
        yield f"Deposit: {after.money(after.deposit)} instead of {before.money(before.deposit)}"
    known = {option["title"] for option in before.content.get("options", ())}
    for option in after.content.get("options", ()):
        if option["title"] not in known:
            yield f"New to choose: {option['title']}"
    if before.content["terms"] != after.content["terms"]:
        yield "The terms are worded anew"
