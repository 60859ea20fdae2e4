"""What each printed paper says: quotes, invoices, receipts and credit notes, in the language that is spoken.

A paper is made only from what its row has stored, so that it says the same years later.
"""

from __future__ import annotations

import base64
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, TypedDict

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, pgettext

from costing import speech
from costing.einvoices import CREDITED
from costing.models import CreditNote, Invoice, Quote, QuoteState, Receipt
from costing.parties import Party
from costing.queries import garment_taxes, line_words, paper_number, tax_words
from costing.rules.money import ZERO
from costing.rules.options import Option, options_in
from costing.rules.tax import EXEMPT
from costing.style_speech import made_of

NOTICES: Mapping[str, str] = {
    QuoteState.OPEN: gettext_noop("Not sent yet: for the workshop only."),
    QuoteState.SUPERSEDED: gettext_noop("Replaced by a newer version."),
    QuoteState.WITHDRAWN: gettext_noop("Withdrawn: this quote no longer holds."),
}


@dataclass(frozen=True, slots=True)
class Line:
    """A row of a paper; ``kind`` is empty, ``total`` or ``after`` (what follows the total)."""

    words: str
    amount: str
    kind: str = ""


@dataclass(frozen=True, slots=True)
class QuotedGarment:
    """A garment as the quote shows it; ``drawing`` is a data address or empty."""

    title: str
    wearer: str
    drawing: str
    choices: tuple[tuple[str, str], ...]
    amount: str
    provisional: bool
    tax: str = ""  # where the garments are taxed by several rates


class Asked(TypedDict, total=False):
    """The words of a paper about its money: what is asked for, or came in."""

    ask: str
    ask_how: str
    pay_to: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """Everything that a template prints, in words of its language."""

    title: str
    heading: str
    seller: Party
    buyer: Party
    facts: tuple[tuple[str, str], ...]
    buyer_word: str = ""
    lines: tuple[Line, ...] = ()
    sums: tuple[Line, ...] = ()
    amount_word: str = ""
    exemption: str = ""
    garments: tuple[QuotedGarment, ...] = ()
    changes: tuple[str, ...] = ()
    options: tuple[tuple[str, tuple[Line, ...]], ...] = ()
    terms: str = ""
    notice: str = ""
    answer: str = ""
    invitation: str = ""
    reason: str = ""
    ask: str = ""
    ask_how: str = ""
    pay_to: str = ""

    @property
    def seller_lines(self) -> tuple[str, ...]:
        seller = self.seller
        address = " · ".join(line.strip() for line in seller.address.splitlines() if line.strip())
        reach = " · ".join(part for part in (seller.phone, seller.email) if part)
        numbers = " · ".join(
            f"{word} {number}"
            for word, number in ((_("Tax number"), seller.tax_number), (_("VAT number"), seller.vat_number))
            if number
        )
        return tuple(line for line in (address, reach, numbers) if line)


def quote_paper(quote: Quote) -> Paper:
    content = quote.content
    order = content["order"]
    currency = quote.currency
    valid = speech.day(quote.valid_until_on)
    return Paper(
        title=_("Quote %(number)s") % {"number": f"{order['number']}-{quote.version}"},
        heading=", ".join(part for part in (_("Quote"), order.get("occasion")) if part),
        seller=Party.from_json(content["seller"]),
        buyer=Party.from_json(content["buyer"]),
        buyer_word=_("For"),
        facts=(
            (_("Order"), str(order["number"])),
            (_("Version"), str(quote.version)),
            (_("Date"), speech.day(quote.workshop.day_of(quote.sent_at or quote.created_at))),
            (_("Valid until"), valid),
            (_("Wanted for"), speech.day(date.fromisoformat(order["due_on"]))),
            *((row["title"], row["words"]) for row in content.get("chosen", ())),
        ),
        garments=tuple(
            _garment(row, tax, currency)
            for row, tax in zip(content["garments"], garment_taxes(content), strict=True)
        ),
        amount_word=_with(content["tax_label"]) if _taxed(content) else "",
        sums=(*_sums(quote, content, currency, _("Price")), *_when_paid(quote)),
        changes=tuple(content.get("changes", {}).get("lines", ())),
        options=tuple((option.title, _ways(option, currency)) for option in options_in(content)),
        exemption=_exemption(content),
        terms=content["terms"],
        notice=_(notice) if (notice := NOTICES.get(quote.state)) else "",
        answer=_answer(quote),
        invitation=_("To accept, open the private link that came with this quote, by %(day)s; or tell us.")
        % {"day": valid}
        if quote.state == QuoteState.SENT
        else "",
    )


def _when_paid(quote: Quote) -> Iterator[Line]:
    """The parts in which the price is paid, where there is a deposit."""
    if quote.deposit:
        yield Line(_("Deposit before the cloth is cut"), speech.money(quote.deposit, quote.currency), "after")
        rest = speech.money(quote.payable - quote.deposit, quote.currency)
        yield Line(_("On delivery"), rest, "after")


def _with(tax: str) -> str:
    return _("with %(tax)s") % {"tax": tax}


def _garment(row: Mapping[str, Any], tax: str, currency: str) -> QuotedGarment:
    return QuotedGarment(
        title=row["title"],
        wearer=row["wearer"],
        drawing=_inside(row["drawing"]) if row.get("drawing") else "",
        choices=made_of(row),
        amount=speech.money(Decimal(row["amount"]), currency),
        provisional=bool(row.get("provisional")),
        tax=_with(tax) if tax else "",
    )


def _ways(option: Option, currency: str) -> tuple[Line, ...]:
    """The alternatives of a choice with what each adds to the price with tax."""
    first, *others = option.alternatives
    return (
        Line(first.words, _("as above")),
        *(Line(way.words, _signed(way.difference, currency)) for way in others),
    )


def _signed(amount: Decimal, currency: str) -> str:
    words = speech.money(amount, currency)
    return words if amount < 0 else words.replace("\u00a0", "\u00a0+")


def _inside(svg: str) -> str:
    """A drawing as an address that holds it, so that its own styles stay its own."""
    return "data:image/svg+xml;base64," + base64.b64encode(svg.encode()).decode("ascii")


def _answer(quote: Quote) -> str:
    if quote.answered_at is None or quote.state not in {QuoteState.ACCEPTED, QuoteState.DECLINED}:
        return ""
    answered_at = quote.answered_at.astimezone(quote.workshop.zone)
    said = {
        "name": quote.answered_by,
        "when": f"{speech.day(answered_at.date())}, {speech.clock(answered_at)} {answered_at:%Z}",
        "reason": quote.decline_reason,
    }
    if quote.state == QuoteState.ACCEPTED:
        return _("Accepted by %(name)s on %(when)s.") % said
    if quote.decline_reason:
        return _("Declined on %(when)s. Reason: %(reason)s") % said
    return _("Declined on %(when)s.") % said


def invoice_paper(invoice: Invoice) -> Paper:
    content = invoice.content
    said = {"number": paper_number(invoice)}
    is_deposit = invoice.kind == Invoice.Kind.DEPOSIT
    return Paper(
        title=_("Invoice %(number)s") % said,
        heading=(_("Deposit invoice %(number)s") if is_deposit else _("Final invoice %(number)s")) % said,
        seller=Party.from_json(content["seller"]),
        buyer=Party.from_json(content["buyer"]),
        buyer_word=_("For"),
        facts=(
            (_("Invoice"), paper_number(invoice)),
            (_("Date"), speech.day(invoice.issued_on)),
            (_("Pay by"), speech.day(invoice.due_on)),
            (_("Order"), str(content["order"]["number"])),
            (_("Quote"), _("version %(number)s") % {"number": content["quote_version"]}),
        ),
        lines=_lines(content, invoice.currency),
        amount_word=_amount_word(content),
        sums=tuple(_invoice_sums(invoice, content, invoice.currency)),
        exemption=_exemption(content),
        **_asked(invoice),
    )


def _asked(invoice: Invoice) -> Asked:
    """What is still to pay, by when and how; thanks where it is paid."""
    left = invoice.payable - invoice.paid_before
    if not left:
        return {"ask": _("All of it is paid already, with thanks")}
    said = {
        "amount": speech.money(left, invoice.currency),
        "day": speech.day(invoice.due_on),
        "number": paper_number(invoice),
    }
    return {
        "ask": _("Please pay %(amount)s by %(day)s") % said,
        "ask_how": _("Name invoice %(number)s with your payment.") % said,
        "pay_to": invoice.content["seller"].get("pay_to", ""),
    }


def credit_note_paper(note: CreditNote) -> Paper:
    content = note.content
    number = paper_number(note)
    currency = note.invoice.currency
    left = Decimal(content.get("left", "0"))
    heading = _("Credit note %(number)s") % {"number": number}
    return Paper(
        title=heading,
        heading=heading,
        seller=Party.from_json(content["seller"]),
        buyer=Party.from_json(content["buyer"]),
        buyer_word=_("For"),
        facts=(
            (_("Credit note"), number),
            (_("Date"), speech.day(note.issued_on)),
            (_("For invoice"), content["invoice"]),
            (_("Invoice of"), speech.day(note.invoice.issued_on)),
            (_("Order"), str(content["order"]["number"])),
        ),
        lines=_lines(content, currency),
        amount_word=_amount_word(content),
        sums=tuple(_sums(note, content, currency, _("Credited"))),
        reason=_taken_back(note, left),
        exemption=_exemption(content),
        ask=_("Credited: %(amount)s") % {"amount": speech.money(note.payable, currency)},
        ask_how=" ".join((_(CREDITED), *_after_credit(note, left, currency))),
    )


def _taken_back(note: CreditNote, left: Decimal) -> str:
    said = {
        "number": note.content["invoice"],
        "day": speech.day(note.invoice.issued_on),
        "reason": note.reason,
    }
    if left or Decimal(note.payable) != note.invoice.payable:
        return _("Part of invoice %(number)s of %(day)s is taken back. Reason: %(reason)s") % said
    return _("Invoice %(number)s of %(day)s is taken back. Reason: %(reason)s") % said


def _after_credit(note: CreditNote, left: Decimal, currency: str) -> Iterator[str]:
    """What becomes of the rest of the invoice, and of the amount itself."""
    if left:
        said = {"amount": speech.money(left, currency)}
        yield _("The invoice now stands at %(amount)s; what was paid counts towards it.") % said
    if note.lowers_id is None:
        yield _("Another invoice asks for what is due instead.")


def _exemption(content: Mapping[str, Any]) -> str:
    """Why no tax is charged, where some line is exempt and the workshop says so."""
    exemption: str = content["seller"].get("exemption", "")
    return exemption if any(group["category"] == EXEMPT for group in content["groups"]) else ""


def receipt_paper(receipt: Receipt) -> Paper:
    content = receipt.content
    said = {"number": paper_number(receipt)}
    refund = content["refund"]
    heading = _("Receipt %(number)s for money given back") if refund else _("Receipt %(number)s")
    note = content.get("credit_note")
    return Paper(
        title=_("Receipt %(number)s") % said,
        heading=heading % said,
        seller=Party.from_json(content["seller"]),
        buyer=Party.from_json(content["buyer"]),
        buyer_word=_("Paid to") if refund else _("Received from"),
        facts=(
            (_("Receipt"), paper_number(receipt)),
            (_("Date"), speech.day(receipt.issued_on)),
            (_("For"), content["order"]),
            *(((_("Credit note"), note),) if note else ()),
        ),
        **_received(content),
    )


def _received(content: Mapping[str, Any]) -> Asked:
    """What came in or went back and how, and what is left to pay."""
    currency = content["currency"]
    due = Decimal(content["still_due"])
    said = {
        "amount": speech.money(Decimal(content["amount"]), currency),
        "method": pgettext("paid by", content["method"]),
        "day": speech.day(date.fromisoformat(content["received_on"])),
        "due": speech.money(abs(due), currency),
    }
    ask = _("Given back: %(amount)s") if content["refund"] else _("Received with thanks: %(amount)s")
    return {"ask": ask % said, "ask_how": _("By %(method)s, on %(day)s.") % said, "reason": _left(due) % said}


def _left(due: Decimal) -> str:
    if due > 0:
        return _("Still to pay on this order: %(due)s.")
    if due < 0:
        return _("Still to be given back on this order: %(due)s.")
    return _("Nothing is left to pay on this order.")


def _lines(content: Mapping[str, Any], currency: str) -> tuple[Line, ...]:
    return tuple(
        Line(words, speech.money(Decimal(line["net"]), currency))
        for words, line in zip(line_words(content), content["lines"], strict=True)
    )


def _taxed(content: Mapping[str, Any]) -> Sequence[Mapping[str, str]]:
    return [group for group in content["groups"] if Decimal(group["rate"])]


def _amount_word(content: Mapping[str, Any]) -> str:
    return _("Without %(tax)s") % {"tax": content["tax_label"]} if _taxed(content) else _("Amount")


def _sums(
    row: Quote | Invoice | CreditNote, content: Mapping[str, Any], currency: str, total_word: str
) -> Iterator[Line]:
    """Net, tax by group, rounding and the total; without any tax the total alone."""
    groups = _taxed(content)
    label = content["tax_label"]
    if groups:
        yield Line(_("Sum without %(tax)s") % {"tax": label}, speech.money(row.net, currency))
    for group in groups:
        said = {
            "tax": tax_words(label, Decimal(group["rate"])),
            "net": speech.money(Decimal(group["net"]), currency, with_code=False),
        }
        yield Line(_("%(tax)s on %(net)s") % said, speech.money(Decimal(group["tax"]), currency))
    if row.rounding != ZERO:
        yield Line(_("Rounding"), speech.money(row.rounding, currency))
    yield Line(total_word, speech.money(row.payable, currency), "total")


def _invoice_sums(invoice: Invoice, content: Mapping[str, Any], currency: str) -> Iterator[Line]:
    """The sums of an invoice; what was paid before it is taken off at the end."""
    if not invoice.paid_before:
        yield from _sums(invoice, content, currency, _("To pay"))
        return
    yield from _sums(invoice, content, currency, _("Total"))
    yield Line(_("Paid already"), speech.money(-invoice.paid_before, currency))
    yield Line(_("To pay"), speech.money(invoice.payable - invoice.paid_before, currency), "total")
