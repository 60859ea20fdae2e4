"""Issued papers as electronic invoices: made only from what the row has stored, as the printed paper is."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from costing import speech
from costing.errors import CostingError
from costing.models import CreditNote, Invoice
from costing.parties import Party
from costing.queries import paper_number
from costing.rules import ubl
from costing.rules.einvoice import Amounts, Broken, EInvoice, Group, Kind, Line, Trader, broken_rules
from costing.rules.tax import EXEMPT, TaxKey

FILE_NAME = "invoice.xml"
CREDITED = gettext_noop("You need not pay this amount; what was paid of it already is yours again.")
"""What a credit note says to the customer."""


class NotElectronic(CostingError):
    """A paper that would break a rule of EN 16931; it is not issued as an e-invoice."""


def is_electronic(paper: Invoice | CreditNote) -> bool:
    """Whether a paper carries an e-invoice; one from before there were any does not."""
    return bool(paper.content.get("electronic", False))


def xml_of(paper: Invoice | CreditNote) -> bytes:
    """Return the e-invoice of a paper as XML (UBL 2.1)."""
    with speech.speaking(speech.language_of(paper.content)):
        return ubl.write(document_of(paper))


def refuse_broken(paper: Invoice | CreditNote) -> None:
    """Check the written XML of a paper that is just issued, where it carries an e-invoice.

    Raises: NotElectronic, naming each rule that it would break; the caller's transaction then issues nothing.
    """
    if is_electronic(paper):
        broken = broken_rules(ubl.read(xml_of(paper)))
        if broken:
            raise NotElectronic(f"The e-invoice would not be valid. {_in_words(broken)}")


def _in_words(broken: list[Broken]) -> str:
    return " ".join(f"{row.words} ({row.rule})" for row in broken)


def document_of(paper: Invoice | CreditNote) -> EInvoice:
    """Return a paper in the terms of EN 16931; its rounding is the rounding amount [BT-114]."""
    content = paper.content
    invoice = paper.invoice if isinstance(paper, CreditNote) else paper
    exemption = content["seller"].get("exemption", "")
    lines = [_line(str(place), row) for place, row in enumerate(content["lines"], start=1)]
    prepaid = Decimal(0) if isinstance(paper, CreditNote) else paper.paid_before
    return EInvoice(
        number=_number(paper),
        kind=_kind(paper),
        issued_on=paper.issued_on,
        due_on=None if isinstance(paper, CreditNote) else paper.due_on,
        currency=invoice.currency,
        seller=_trader(Party.from_json(content["seller"])),
        buyer=_trader(Party.from_json(content["buyer"])),
        lines=lines,
        groups=[_group(row, exemption) for row in content["groups"]],
        amounts=Amounts(
            lines_net=sum((line.net for line in lines), Decimal(0)),
            net=paper.net,
            tax=paper.tax,
            gross=paper.gross,
            prepaid=prepaid,
            rounding=paper.rounding,
            due=paper.payable - prepaid,
        ),
        terms=_terms(paper),
        note=paper.reason if isinstance(paper, CreditNote) else "",
        preceding=_preceding(invoice) if isinstance(paper, CreditNote) else None,
    )


def _number(paper: Invoice | CreditNote) -> str:
    """A credit note's series has the same years and numbers as the invoices': its letters tell them apart."""
    return f"CN {paper_number(paper)}" if isinstance(paper, CreditNote) else paper_number(paper)


def _kind(paper: Invoice | CreditNote) -> Kind:
    if isinstance(paper, CreditNote):
        return Kind.CREDIT_NOTE
    return Kind.PREPAYMENT if paper.kind == Invoice.Kind.DEPOSIT else Kind.INVOICE


def _preceding(invoice: Invoice) -> tuple[str, date]:
    return paper_number(invoice), invoice.issued_on


def _terms(paper: Invoice | CreditNote) -> str:
    pay_to: str = paper.content["seller"].get("pay_to", "")
    if isinstance(paper, CreditNote):
        return _(CREDITED)
    if paper.paid_before >= paper.payable:
        return _("Paid already.")
    ask = _("Please pay by %(day)s.") % {"day": paper.due_on.isoformat()}
    return f"{ask}\n{pay_to}".strip()


def _trader(party: Party) -> Trader:
    return Trader(
        name=party.name,
        address=tuple(line.strip() for line in party.address.splitlines() if line.strip()),
        country=party.country,
        vat_number=party.vat_number,
        registration=party.tax_number if party.tax_number != party.vat_number else "",
        email=party.email,
        phone=party.phone,
    )


def _line(number: str, row: Mapping[str, Any]) -> Line:
    net = Decimal(row["net"])
    words = row["words"]
    return Line(number, words, net, TaxKey.read(row), quantity=Decimal(-1 if net < 0 else 1), price=abs(net))


def _group(row: Mapping[str, Any], exemption: str) -> Group:
    key = TaxKey.read(row)
    reason = exemption if key.category == EXEMPT else ""
    return Group(key, Decimal(row["net"]), Decimal(row["tax"]), reason)
