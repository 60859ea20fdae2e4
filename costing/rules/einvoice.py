"""An electronic invoice as EN 16931-1 means it, and which of the standard's rules it breaks.

The names in square brackets are the business terms of the standard. What a workshop issues uses a part of it:
one seller, one buyer, lines of one piece each, tax categories S, E and Z. The reckoning of the checker takes
the whole of the amounts (allowances, charges, prepaid), so that it can be held against published examples.

Source of the rules: EN 16931-1:2017 as published by the European Commission in its validation artefacts
(release 1.3.16), business rules BR-*.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from costing.rules.money import ZERO, minor_unit, minor_units, rounded
from costing.rules.tax import EXEMPT, STANDARD, ZERO_RATED, Adjustment, TaxKey

MOST_DECIMALS = 2
"""Of an amount in an electronic invoice [BR-DEC]."""
PIECE = "C62"
"""One piece, in the list of units that the standard uses (UN/ECE Recommendation 20)."""


class Kind(StrEnum):
    """What the document is [BT-3], by the codes of UNTDID 1001."""

    INVOICE = "380"
    CREDIT_NOTE = "381"
    PREPAYMENT = "386"


@dataclass(frozen=True, slots=True)
class Trader:
    """Seller or buyer: name [BT-27, BT-44], address, country [BT-40, BT-55], VAT number [BT-31, BT-48].

    ``registration``: the seller's own tax number [BT-32], which is no VAT number.
    """

    name: str
    address: tuple[str, ...] = ()
    country: str = ""
    vat_number: str = ""
    registration: str = ""
    email: str = ""
    phone: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """A line: net [BT-131] = quantity [BT-129] x price [BT-146]; what is taken off counts minus one."""

    number: str
    name: str
    net: Decimal
    key: TaxKey
    quantity: Decimal = Decimal(1)
    price: Decimal = ZERO
    unit: str = PIECE


@dataclass(frozen=True, slots=True)
class Group:
    """The tax of one category and rate: taxable amount [BT-116], tax [BT-117], why exempt [BT-120]."""

    key: TaxKey
    net: Decimal
    tax: Decimal
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Amounts:
    """The totals of the document, as they are printed [BT-106 to BT-115]."""

    lines_net: Decimal
    net: Decimal
    tax: Decimal
    gross: Decimal
    due: Decimal
    allowances: Decimal = ZERO
    charges: Decimal = ZERO
    prepaid: Decimal = ZERO
    rounding: Decimal = ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class EInvoice:
    """An invoice or a credit note; ``preceding``: number and day of the invoice that is credited [BG-3]."""

    number: str
    kind: Kind
    issued_on: date | None
    currency: str
    seller: Trader
    buyer: Trader
    lines: Sequence[Line]
    groups: Sequence[Group]
    amounts: Amounts
    adjustments: Sequence[Adjustment] = ()
    due_on: date | None = None
    terms: str = ""
    note: str = ""
    preceding: tuple[str, date] | None = None


@dataclass(frozen=True, slots=True)
class Broken:
    """A rule that the document breaks, and in words what is wrong."""

    rule: str
    words: str


def broken_rules(document: EInvoice) -> list[Broken]:
    """Return every rule of EN 16931 that the document breaks; an empty list where it keeps them all."""
    return [*_missing(document), *_parties(document), *broken_amounts(document), *_categories(document)]


def _missing(document: EInvoice) -> Iterator[Broken]:
    if not document.number:
        yield Broken("BR-02", "It has no number.")
    if document.issued_on is None:
        yield Broken("BR-03", "It has no day of issue.")
    if not re.fullmatch("[A-Z]{3}", document.currency):
        yield Broken("BR-05", "It names no currency.")
    if not document.lines:
        yield Broken("BR-16", "It has no line.")
    if not document.groups:
        yield Broken("BR-CO-18", "It has no sum of tax by rate.")
    if document.amounts.due > 0 and document.due_on is None and not document.terms:
        yield Broken("BR-CO-25", "It says neither by when nor how it is to be paid.")
    for line in document.lines:
        yield from _missing_of(line)


def _missing_of(line: Line) -> Iterator[Broken]:
    if not line.number:
        yield Broken("BR-21", "A line has no number.")
    if not line.unit:
        yield Broken("BR-23", f"Line {line.number} has no unit.")
    if not line.name.strip():
        yield Broken("BR-25", f"Line {line.number} has no words.")
    if line.price < 0:
        yield Broken("BR-27", f"The price of line {line.number} is negative.")


def _parties(document: EInvoice) -> Iterator[Broken]:
    seller, buyer = document.seller, document.buyer
    if not seller.name.strip():
        yield Broken("BR-06", "The workshop has no name.")
    if not buyer.name.strip():
        yield Broken("BR-07", "The customer has no name.")
    if not _is_country(seller.country):
        yield Broken("BR-09", "The workshop's address names no country.")
    if not _is_country(buyer.country):
        yield Broken("BR-11", "The customer's address names no country.")
    if not seller.vat_number:
        # The seller may be known by another number [BT-29, BT-30], which a workshop is not asked for.
        yield Broken("BR-CO-26", "The workshop has no VAT number, by which the receiver knows it.")
    for trader in (seller, buyer):
        if trader.vat_number and not _is_country(trader.vat_number[:2]):
            yield Broken("BR-CO-09", f"{trader.vat_number} does not begin with the two letters of a country.")


def _is_country(code: str) -> bool:
    """Whether it looks like a code of ISO 3166-1 (or EL, which VAT numbers of Greece have)."""
    return re.fullmatch("[A-Z]{2}", code) is not None


def broken_amounts(document: EInvoice) -> list[Broken]:
    """Return the rules of reckoning that the document breaks: BR-CO-10 to 17, BR-x-08 and the decimals."""
    return [*_sums(document), *_taxes(document), *_decimals(document)]


def _sums(document: EInvoice) -> Iterator[Broken]:
    amounts = document.amounts
    lines = sum((line.net for line in document.lines), ZERO)
    allowances = sum((row.amount for row in document.adjustments if not row.is_charge), ZERO)
    charges = sum((row.amount for row in document.adjustments if row.is_charge), ZERO)
    tax = sum((group.tax for group in document.groups), ZERO)
    for rule, printed, reckoned, words in (
        ("BR-CO-10", amounts.lines_net, lines, "sum of the lines"),
        ("BR-CO-11", amounts.allowances, allowances, "sum of allowances"),
        ("BR-CO-12", amounts.charges, charges, "sum of charges"),
        (
            "BR-CO-13",
            amounts.net,
            amounts.lines_net - amounts.allowances + amounts.charges,
            "total without tax",
        ),
        ("BR-CO-14", amounts.tax, tax, "total tax"),
        ("BR-CO-15", amounts.gross, amounts.net + amounts.tax, "total with tax"),
        ("BR-CO-16", amounts.due, amounts.gross - amounts.prepaid + amounts.rounding, "amount due"),
    ):
        if printed != reckoned:
            yield Broken(rule, f"The {words} says {printed}; it comes to {reckoned}.")


def _taxes(document: EInvoice) -> Iterator[Broken]:
    """Each group's tax is rounded once to the currency's own decimals, two at most."""
    unit = max(minor_unit(document.currency), Decimal("0.01"))
    for group in document.groups:
        whole = group.net * group.key.rate / 100
        tax = rounded(whole, document.currency).quantize(unit)
        if group.tax != tax:
            yield Broken(
                "BR-CO-17",
                f"{group.key.rate:f} % of {group.net} is {tax}; it says {group.tax}.",
            )
        nets = sum((line.net for line in document.lines if line.key == group.key), ZERO)
        nets += sum((row.signed for row in document.adjustments if row.key == group.key), ZERO)
        if group.net != nets:
            rule = f"BR-{group.key.category}-08"
            yield Broken(rule, f"Lines under {group.key.rate:f} % sum to {nets}; the group says {group.net}.")


def _decimals(document: EInvoice) -> Iterator[Broken]:
    amounts = document.amounts
    printed = [
        *(line.net for line in document.lines),
        *(amount for group in document.groups for amount in (group.net, group.tax)),
        *(row.amount for row in document.adjustments),
        amounts.lines_net, amounts.allowances, amounts.charges, amounts.net, amounts.tax,
        amounts.gross, amounts.prepaid, amounts.rounding, amounts.due,
    ]  # fmt: skip
    fine = [amount for amount in printed if amount != amount.quantize(Decimal("0.01"))]
    if fine:
        yield Broken("BR-DEC", f"{fine[0]} has more than {MOST_DECIMALS} decimals.")


def _categories(document: EInvoice) -> Iterator[Broken]:
    """What each category asks for: standard a rate, exempt none and a reason, zero rated none and no reason;
    all the seller's number."""
    named = {line.key.category for line in document.lines}
    named |= {row.key.category for row in document.adjustments}
    summed = {group.key.category for group in document.groups}
    for category in sorted(named ^ summed):
        yield Broken(f"BR-{category}-01", f"Category {category} is in the lines or the sums of tax only.")
    seller = document.seller
    for category in sorted(named & {STANDARD, EXEMPT, ZERO_RATED}):
        if not seller.vat_number and not seller.registration:
            yield Broken(f"BR-{category}-02", "The workshop has no tax number.")
    keys = {line.key for line in document.lines} | {group.key for group in document.groups}
    for key in sorted(keys):
        if key.category == STANDARD and key.rate <= 0:
            yield Broken("BR-S-05", "A standard rate is above zero.")
        if key.category in {EXEMPT, ZERO_RATED} and key.rate != 0:
            yield Broken(f"BR-{key.category}-05", "What is exempt or zero rated has a rate of 0 %.")
    for group in document.groups:
        if group.key.category == EXEMPT and not group.reason.strip():
            yield Broken("BR-E-10", "It does not say why no tax is charged.")
        if group.key.category in {STANDARD, ZERO_RATED} and group.reason:
            yield Broken(f"BR-{group.key.category}-10", "What is taxed has no reason for an exemption.")


def can_be_electronic(currency: str) -> bool:
    """Whether amounts of a currency can be written exactly in an electronic invoice [BR-DEC]."""
    return minor_units(currency) <= MOST_DECIMALS
