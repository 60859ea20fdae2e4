"""Papers in each language: their words, days and amounts, and nothing English left."""

from __future__ import annotations

import io
from dataclasses import replace
from decimal import Decimal

import pikepdf
import pypdfium2
import pytest

from costing.documents import (
    render_credit_note_pdf,
    render_invoice_pdf,
    render_quote_pdf,
    render_receipt_pdf,
)
from costing.einvoices import xml_of
from costing.rules.options import Alternative, Option
from costing.services import (
    credit_invoice,
    issue_deposit_invoice,
    issue_final_invoice,
    issue_receipt,
    record_payment,
)
from costing.speech import speaking
from tests.costing.papers import (
    BUYER,
    NOW,
    SELLER,
    TODAY,
    issuing,
    make_accepted_quote,
    make_order,
    paying,
    receipting,
)
from tests.leftovers import english_left

NETS, RATES = (Decimal(1000), Decimal(400)), (Decimal(16), Decimal("5.5"))
TYPED = (*SELLER.to_json().values(), *BUYER.to_json().values(), "Dress Ada Satin VAT", "Wedding", "Tulle")
TYPED += ("Half is due before the cloth is cut.", "The short dress is off.", "Adaeze Nwosu", "EUR UTC")


def made_in(language, order):
    """The text of one of each paper, all of them of the same content."""
    with speaking(language):
        option = Option(1, "cloth", "Dress", (Alternative("Satin"), Alternative("Tulle", Decimal(80))))
        quote = make_accepted_quote(
            order, nets=NETS, rates=RATES, language=language, options=[option.to_json()]
        )
        issued = issuing(language=language)
        deposit = issue_deposit_invoice(quote=quote, **issued)
        payment = record_payment(**paying(order, "1000.50", method="transfer"))
        receipt = issue_receipt(payment=payment, **receipting(order_words="", language=language))
        final = issue_final_invoice(quote=quote, **issued)
        note = credit_invoice(invoice=final, reason="The short dress is off.", today=TODAY, now=NOW)
    for row in (quote, deposit, receipt, final, note):
        row.refresh_from_db()
    return {
        "quote": render_quote_pdf(quote),
        "deposit": render_invoice_pdf(deposit),
        "receipt": render_receipt_pdf(receipt),
        "final": render_invoice_pdf(final),
        "credit note": render_credit_note_pdf(note),
    }


def words(pdf):
    """The text of a PDF in the order in which it is written, its spaces evened out."""
    with pypdfium2.PdfDocument(pdf) as document:
        return " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())


SAYS = {
    "de": {
        "quote": "Angebot, Wedding|Gültig bis 16. Dezember 2026|Falten Messerfalten|EUR 1.160,00"
        "|inkl. VAT 5,5 %"
        "|Anzahlung vor dem Zuschnitt EUR 791,00|Zur Auswahl: Dress|wie oben|EUR +80,00|Bedingungen"
        "|Angenommen von Adaeze Nwosu am 25. November 2026, 09:00 UTC.",
        "deposit": "Anzahlungsrechnung 2026-|Anzahlung auf Angebot 1, VAT 5,5 % EUR 200,00"
        "|Bitte zahlen Sie EUR 791,00 bis 9. Dezember 2026",
        "receipt": "Quittung 2026-|Dankend erhalten: EUR 1.000,50"
        "|Zahlung per Überweisung am 25. November 2026.|Für diesen Auftrag noch zu zahlen: EUR 581,50.",
        "final": "Schlussrechnung 2026-|Abzüglich Anzahlungsrechnung 2026-|VAT 16 % auf 500,00 EUR 80,00"
        "|Bereits bezahlt EUR −209,50|Zu zahlen EUR 581,50",
        "credit note": "Rechnungskorrektur 2026-|wird storniert. Grund: The short dress is off."
        "|Korrekturbetrag: EUR 791,00|erhalten Sie zurück.",
    },
    "fr": {
        "quote": "Devis, Wedding|Valable jusqu’au 16 décembre 2026|Plis plis couchés|EUR 1 160,00"
        "|VAT 5,5 % comprise|Acompte avant la coupe EUR 791,00|À choisir : Dress|comme ci-dessus|Conditions"
        "|Accepté par Adaeze Nwosu le 25 novembre 2026, 09:00 UTC.",
        "deposit": "Facture d’acompte 2026-|Acompte sur le devis 1, VAT 5,5 % EUR 200,00"
        "|Échéance 9 décembre 2026|Merci de payer EUR 791,00 au plus tard le 9 décembre 2026",
        "receipt": "Reçu 2026-|EUR 1 000,50|Paiement par virement, le 25 novembre 2026.|Reste à payer",
        "final": "Facture de solde 2026-|facture d’acompte 2026-|VAT 16 % sur 500,00|Déjà réglé EUR −209,50",
        "credit note": "Facture d’avoir 2026-|est annulée. Motif : The short dress is off.|EUR 791,00",
    },
    "es": {
        "quote": "Presupuesto, Wedding|Válido hasta el 16 de diciembre de 2026|Pliegues pliegues planos"
        "|EUR 1.160,00|con VAT 5,5 %|Anticipo antes del corte EUR 791,00|Para elegir: Dress|Condiciones"
        "|Aceptado por Adaeze Nwosu el 25 de noviembre de 2026, 09:00 UTC.",
        "deposit": "Factura de anticipo 2026-|Anticipo del presupuesto 1, VAT 5,5 % EUR 200,00"
        "|Pague EUR 791,00, a más tardar el 9 de diciembre de 2026",
        "receipt": "Recibo 2026-|EUR 1.000,50|Pago por transferencia, el 25 de noviembre de 2026."
        "|Pendiente de pago",
        "final": "Factura final 2026-|factura de anticipo 2026-|VAT 16 % sobre 500,00|Ya pagado EUR −209,50",
        "credit note": "Factura rectificativa 2026-|Motivo: The short dress is off.|EUR 791,00",
    },
}
"""What each paper says, its days and amounts as CLDR has them (``tests/checks/test_languages.py``)."""


@pytest.fixture(scope="module")
def english():
    """The same papers in English, by name; made by the first test that asks for them."""
    return {}


@pytest.mark.parametrize("language", SAYS)
def test_papers_are_in_the_language_that_they_keep_and_leave_nothing_english(workshop, english, language):
    if not english:
        english.update(made_in("en", make_order(workshop)))
    made = made_in(language, make_order(workshop, number=2))

    assert {
        name: english_left(words(english[name]), words(pdf), language, TYPED) for name, pdf in made.items()
    } == {name: set() for name in made}
    for name, pdf in made.items():
        assert [said for said in SAYS[language][name].split("|") if said not in words(pdf)] == []
        with pikepdf.open(io.BytesIO(pdf)) as document:
            assert str(document.Root.Lang) == language


def test_the_words_of_an_e_invoice_follow_its_paper(workshop):
    seller = replace(SELLER, vat_number="KE123456789", country="KE")
    buyer = replace(BUYER, country="KE")
    with speaking("de"):
        quote = make_accepted_quote(make_order(workshop), language="de")
        issued = issuing(language="de", electronic=True, seller=seller, buyer=buyer)
        invoice = issue_deposit_invoice(quote=quote, **issued)
        note = credit_invoice(invoice=invoice, reason="Zu viel", today=TODAY, now=NOW)

    asked, taken_back = xml_of(invoice).decode(), xml_of(note).decode()

    assert ">Anzahlung auf Angebot 1</cbc:Name>" in asked
    assert ">Zahlbar bis 2026-12-09.\nAccount 0123 4567 89," in asked
    assert ">Diesen Betrag müssen Sie nicht zahlen; was davon schon bezahlt ist" in taken_back
    assert ">386</cbc:InvoiceTypeCode>" in asked  # a prepayment in every language (UNTDID 1001)
