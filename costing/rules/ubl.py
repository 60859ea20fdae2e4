"""An electronic invoice as XML in the syntax UBL 2.1, written and read.

The order of the elements is that of the published schema; the places of the business terms are those of the
syntax binding.

Sources: OASIS Universal Business Language 2.1 (Invoice and CreditNote schemas); CEN/TS 16931-3-2.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from xml.etree import ElementTree as ET

from costing.rules.einvoice import Amounts, EInvoice, Group, Kind, Line, Trader
from costing.rules.money import ZERO, minor_unit
from costing.rules.tax import Adjustment, TaxKey

FOLLOWS = "urn:cen.eu:en16931:2017"
"""The specification that the document keeps [BT-24]."""
_OASIS = "urn:oasis:names:specification:ubl:schema:xsd:"
CAC = f"{_OASIS}CommonAggregateComponents-2"
CBC = f"{_OASIS}CommonBasicComponents-2"
_VAT = "VAT"
_DECLARATION = b'<?xml version="1.0" encoding="UTF-8"?>\n'


def _root_name(kind: Kind) -> str:
    return "CreditNote" if kind is Kind.CREDIT_NOTE else "Invoice"


def write(document: EInvoice) -> bytes:
    """Return the document as XML, UTF-8; the same document makes the same bytes."""
    ET.register_namespace("cac", CAC)
    ET.register_namespace("cbc", CBC)
    name = _root_name(document.kind)
    root = ET.Element(name, {"xmlns": f"{_OASIS}{name}-2"})
    _head(root, document)
    _trader(_group(root, "AccountingSupplierParty"), document.seller)
    _trader(_group(root, "AccountingCustomerParty"), document.buyer)
    if document.terms:
        _text(_group(root, "PaymentTerms"), "Note", document.terms)
    for row in document.adjustments:
        _adjustment(root, row, document.currency)
    _tax_total(root, document)
    _amounts(root, document)
    for line in document.lines:
        _line(root, line, document)
    ET.indent(root)
    return _DECLARATION + bytes(ET.tostring(root, encoding="utf-8"))


def _group(parent: ET.Element, name: str) -> ET.Element:
    return ET.SubElement(parent, f"{{{CAC}}}{name}")


def _text(parent: ET.Element, name: str, text: str, **attributes: str) -> None:
    ET.SubElement(parent, f"{{{CBC}}}{name}", attributes).text = _printable(text)


def _printable(text: str) -> str:
    """Without the control characters that XML 1.0 cannot hold."""
    return "".join(letter for letter in text if letter in "\t\n" or letter >= " ")


def _amount(parent: ET.Element, name: str, amount: Decimal, currency: str) -> None:
    text = f"{amount.quantize(minor_unit(currency)):f}"
    _text(parent, name, text, currencyID=currency)


def _head(root: ET.Element, document: EInvoice) -> None:
    """What stands before the parties; a credit note has no day to pay by at this place."""
    assert document.issued_on is not None
    credits = document.kind is Kind.CREDIT_NOTE
    _text(root, "CustomizationID", FOLLOWS)
    _text(root, "ID", document.number)
    _text(root, "IssueDate", document.issued_on.isoformat())
    if document.due_on is not None and not credits:
        _text(root, "DueDate", document.due_on.isoformat())
    _text(root, f"{_root_name(document.kind)}TypeCode", document.kind.value)
    if document.note:
        _text(root, "Note", document.note)
    _text(root, "DocumentCurrencyCode", document.currency)
    if document.preceding is not None:
        number, day = document.preceding
        reference = _group(_group(root, "BillingReference"), "InvoiceDocumentReference")
        _text(reference, "ID", number)
        _text(reference, "IssueDate", day.isoformat())


def _trader(parent: ET.Element, trader: Trader) -> None:
    party = _group(parent, "Party")
    _address(_group(party, "PostalAddress"), trader)
    for number, scheme in ((trader.vat_number, _VAT), (trader.registration, "TAX")):
        if number:
            tax = _group(party, "PartyTaxScheme")
            _text(tax, "CompanyID", number)
            _text(_group(tax, "TaxScheme"), "ID", scheme)
    _text(_group(party, "PartyLegalEntity"), "RegistrationName", trader.name)
    if trader.phone or trader.email:
        contact = _group(party, "Contact")
        if trader.phone:
            _text(contact, "Telephone", trader.phone)
        if trader.email:
            _text(contact, "ElectronicMail", trader.email)


def _address(parent: ET.Element, trader: Trader) -> None:
    """Three lines of address at most; what is more shares the third."""
    first, second, *more = [*trader.address, "", ""]
    if first:
        _text(parent, "StreetName", first)
    if second:
        _text(parent, "AdditionalStreetName", second)
    if any(more):
        _text(_group(parent, "AddressLine"), "Line", ", ".join(line for line in more if line))
    _text(_group(parent, "Country"), "IdentificationCode", trader.country)


def _category(parent: ET.Element, name: str, key: TaxKey, reason: str = "") -> None:
    category = _group(parent, name)
    _text(category, "ID", key.category)
    _text(category, "Percent", f"{key.rate:f}")
    if reason:
        _text(category, "TaxExemptionReason", reason)
    _text(_group(category, "TaxScheme"), "ID", _VAT)


def _adjustment(root: ET.Element, row: Adjustment, currency: str) -> None:
    parent = _group(root, "AllowanceCharge")
    _text(parent, "ChargeIndicator", "true" if row.is_charge else "false")
    _text(parent, "AllowanceChargeReason", row.reason)
    _amount(parent, "Amount", row.amount, currency)
    _category(parent, "TaxCategory", row.key)


def _tax_total(root: ET.Element, document: EInvoice) -> None:
    total = _group(root, "TaxTotal")
    _amount(total, "TaxAmount", document.amounts.tax, document.currency)
    for group in document.groups:
        part = _group(total, "TaxSubtotal")
        _amount(part, "TaxableAmount", group.net, document.currency)
        _amount(part, "TaxAmount", group.tax, document.currency)
        _category(part, "TaxCategory", group.key, group.reason)


def _amounts(root: ET.Element, document: EInvoice) -> None:
    made = document.amounts
    parent = _group(root, "LegalMonetaryTotal")
    for name, amount, always in (
        ("LineExtensionAmount", made.lines_net, True),
        ("TaxExclusiveAmount", made.net, True),
        ("TaxInclusiveAmount", made.gross, True),
        ("AllowanceTotalAmount", made.allowances, False),
        ("ChargeTotalAmount", made.charges, False),
        ("PrepaidAmount", made.prepaid, False),
        ("PayableRoundingAmount", made.rounding, False),
        ("PayableAmount", made.due, True),
    ):
        if always or amount:
            _amount(parent, name, amount, document.currency)


def _line(root: ET.Element, line: Line, document: EInvoice) -> None:
    credits = document.kind is Kind.CREDIT_NOTE
    parent = _group(root, f"{_root_name(document.kind)}Line")
    _text(parent, "ID", line.number)
    counted = "CreditedQuantity" if credits else "InvoicedQuantity"
    _text(parent, counted, f"{line.quantity:f}", unitCode=line.unit)
    _amount(parent, "LineExtensionAmount", line.net, document.currency)
    item = _group(parent, "Item")
    _text(item, "Name", line.name)
    _category(item, "ClassifiedTaxCategory", line.key)
    _amount(_group(parent, "Price"), "PriceAmount", line.price, document.currency)


def read(xml: bytes) -> EInvoice:
    """Read back what ``write`` wrote: the rules are checked on what is sent, not on what was meant.

    Meant for our own files: nothing that a stranger sent is read.
    """
    root = ET.fromstring(xml)
    name = root.tag.rpartition("}")[2]
    preceding = root.find(f"{{{CAC}}}BillingReference/{{{CAC}}}InvoiceDocumentReference")
    return EInvoice(
        number=_said(root, "cbc:ID"),
        kind=Kind(_said(root, f"cbc:{name}TypeCode")),
        issued_on=_day(_said(root, "cbc:IssueDate")),
        due_on=_day(_said(root, "cbc:DueDate")),
        note=_said(root, "cbc:Note"),
        currency=_said(root, "cbc:DocumentCurrencyCode"),
        preceding=None
        if preceding is None
        else (_said(preceding, "cbc:ID"), date.fromisoformat(_said(preceding, "cbc:IssueDate"))),
        seller=_read_trader(root, "cac:AccountingSupplierParty/cac:Party"),
        buyer=_read_trader(root, "cac:AccountingCustomerParty/cac:Party"),
        terms=_said(root, "cac:PaymentTerms/cbc:Note"),
        adjustments=tuple(_read_adjustments(root)),
        groups=tuple(_read_groups(root)),
        amounts=_read_amounts(root),
        lines=tuple(_read_lines(root, name)),
    )


_NAMES = {"cac": CAC, "cbc": CBC}


def _said(parent: ET.Element | None, path: str) -> str:
    found = None if parent is None else parent.find(path, _NAMES)
    return "" if found is None or found.text is None else found.text


def _number(parent: ET.Element | None, path: str) -> Decimal:
    return Decimal(_said(parent, path) or ZERO)


def _day(text: str) -> date | None:
    return date.fromisoformat(text) if text else None


def _read_trader(root: ET.Element, path: str) -> Trader:
    party = root.find(path, _NAMES)
    assert party is not None
    numbers = {
        _said(tax, "cac:TaxScheme/cbc:ID"): _said(tax, "cbc:CompanyID")
        for tax in party.iterfind("cac:PartyTaxScheme", _NAMES)
    }
    lines = ("StreetName", "AdditionalStreetName")
    address = [_said(party, f"cac:PostalAddress/cbc:{name}") for name in lines]
    address.append(_said(party, "cac:PostalAddress/cac:AddressLine/cbc:Line"))
    return Trader(
        name=_said(party, "cac:PartyLegalEntity/cbc:RegistrationName"),
        address=tuple(line for line in address if line),
        country=_said(party, "cac:PostalAddress/cac:Country/cbc:IdentificationCode"),
        vat_number=numbers.get(_VAT, ""),
        registration=numbers.get("TAX", ""),
        email=_said(party, "cac:Contact/cbc:ElectronicMail"),
        phone=_said(party, "cac:Contact/cbc:Telephone"),
    )


def _key(category: ET.Element | None) -> TaxKey:
    return TaxKey(_said(category, "cbc:ID"), _number(category, "cbc:Percent"))


def _read_adjustments(root: ET.Element) -> Iterator[Adjustment]:
    for row in root.iterfind("cac:AllowanceCharge", _NAMES):
        yield Adjustment(
            _number(row, "cbc:Amount"),
            _key(row.find("cac:TaxCategory", _NAMES)),
            is_charge=_said(row, "cbc:ChargeIndicator") == "true",
            reason=_said(row, "cbc:AllowanceChargeReason"),
        )


def _read_groups(root: ET.Element) -> Iterator[Group]:
    for part in root.iterfind("cac:TaxTotal/cac:TaxSubtotal", _NAMES):
        category = part.find("cac:TaxCategory", _NAMES)
        reason = _said(category, "cbc:TaxExemptionReason")
        yield Group(
            _key(category), _number(part, "cbc:TaxableAmount"), _number(part, "cbc:TaxAmount"), reason
        )


def _read_amounts(root: ET.Element) -> Amounts:
    total = root.find("cac:LegalMonetaryTotal", _NAMES)
    return Amounts(
        lines_net=_number(total, "cbc:LineExtensionAmount"),
        net=_number(total, "cbc:TaxExclusiveAmount"),
        tax=_number(root, "cac:TaxTotal/cbc:TaxAmount"),
        gross=_number(total, "cbc:TaxInclusiveAmount"),
        due=_number(total, "cbc:PayableAmount"),
        allowances=_number(total, "cbc:AllowanceTotalAmount"),
        charges=_number(total, "cbc:ChargeTotalAmount"),
        prepaid=_number(total, "cbc:PrepaidAmount"),
        rounding=_number(total, "cbc:PayableRoundingAmount"),
    )


def _read_lines(root: ET.Element, name: str) -> Iterator[Line]:
    counted = "CreditedQuantity" if name == "CreditNote" else "InvoicedQuantity"
    for row in root.iterfind(f"cac:{name}Line", _NAMES):
        quantity = row.find(f"cbc:{counted}", _NAMES)
        yield Line(
            number=_said(row, "cbc:ID"),
            name=_said(row, "cac:Item/cbc:Name"),
            net=_number(row, "cbc:LineExtensionAmount"),
            key=_key(row.find("cac:Item/cac:ClassifiedTaxCategory", _NAMES)),
            quantity=_number(row, f"cbc:{counted}"),
            price=_number(row, "cac:Price/cbc:PriceAmount"),
            unit="" if quantity is None else quantity.get("unitCode", ""),
        )
