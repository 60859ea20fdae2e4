from __future__ import annotations

import io
import re
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pdfplumber
import pikepdf
import pytest
from django.db import transaction

from costing.documents import (
    render_credit_note_pdf,
    render_invoice_pdf,
    render_quote_pdf,
    render_receipt_pdf,
)
from costing.einvoices import NotElectronic, xml_of
from costing.models import Invoice, NumberSeries, Quote
from costing.rules.options import Alternative
from costing.services import (
    accept_quote,
    credit_invoice,
    issue_deposit_invoice,
    issue_final_invoice,
    issue_receipt,
    record_payment,
    send_quote,
)
from tests.costing.papers import (
    BUYER,
    NOW,
    SELLER,
    TODAY,
    issuing,
    make_accepted_quote,
    make_quote,
    paying,
    receipting,
)

AGREED = Decimal("660.00")
DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><path d="M1 1L9 9" stroke="#000"/></svg>'
)


def words(pdf):
    """The text of a PDF with its spaces evened out."""
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        text = " ".join(page.extract_text() for page in document.pages)
    return " ".join(text.split())


def has_all(pdf, *phrases):
    text = words(pdf)
    return [phrase for phrase in phrases if phrase not in text] == []


@pytest.fixture
def papers(order):
    """One of each paper, as bytes."""
    quote = make_accepted_quote(order, price=AGREED)
    deposit = issue_deposit_invoice(quote=quote, **issuing())
    final = issue_final_invoice(quote=quote, **issuing())
    note = credit_invoice(invoice=final, reason="The short dress is off.", today=TODAY, now=NOW)
    receipt = issue_receipt(
        payment=record_payment(**paying(order, "330.00", method="transfer")), **receipting()
    )
    return {
        "quote": (render_quote_pdf, quote),
        "deposit": (render_invoice_pdf, deposit),
        "final": (render_invoice_pdf, final),
        "credit note": (render_credit_note_pdf, note),
        "receipt": (render_receipt_pdf, receipt),
    }


def rendered(papers, name):
    render, row = papers[name]
    row.refresh_from_db()
    return render(row)


@pytest.mark.parametrize(
    ("paid", "says"),
    [
        (
            "400.00",
            ("Total EUR 330.00", "Paid already EUR −70.00", "To pay EUR 260.00", "Please pay EUR 260.00 by"),
        ),
        ("660.00", ("Paid already EUR −330.00", "To pay EUR 0.00", "All of it is paid already, with thanks")),
    ],
)
def test_render_invoice_pdf_takes_off_what_was_paid_before(order, paid, says):
    quote = make_accepted_quote(order, price=AGREED)
    issue_deposit_invoice(quote=quote, **issuing())
    record_payment(**paying(order, paid))

    pdf = render_invoice_pdf(issue_final_invoice(quote=quote, **issuing()))

    assert has_all(pdf, *says)


def test_render_quote_pdf_says_what_is_made_for_how_much(papers):
    assert has_all(
        rendered(papers, "quote"),
        "Mill Lane Dressmaking",
        "12 Mill Lane · Kisumu",
        "Tax number P0512",
        "For Order 1",
        "Adaeze Nwosu Version 1",
        "Valid until 16 December 2026",
        "Wanted for 20 March 2027",
        "Dress 1 for Ada EUR 420.00",
        "Cloth Satin with VAT",
        "Sum without VAT EUR 568.97",
        "VAT 16 % on 568.97 EUR 91.04",
        "Rounding EUR −0.01",
        "Price EUR 660.00",
        "Deposit before the cloth is cut EUR 330.00",
        "Half is due before the cloth is cut.",
        "Accepted by Adaeze Nwosu on 25 November 2026, 09:00 UTC.",
        "Mill Lane Dressmaking · Quote 1-1 1 / 1",
    )


def test_render_invoice_pdf_takes_off_the_deposit_and_says_what_to_pay(papers):
    assert has_all(
        rendered(papers, "final"),
        "Final invoice 2026-0002",
        "Dress 1 EUR 362.07",
        "Less deposit invoice 2026-0001 EUR −284.48",
        "VAT 16 % on 284.49 EUR 45.52",
        "To pay EUR 330.00",
        "Please pay EUR 330.00 by 9 December 2026 Account 0123 4567 89, Lake Bank Kisumu",
        "Name invoice 2026-0002 with your payment.",
    )


def test_render_credit_note_pdf_names_the_invoice_and_the_reason(papers):
    assert has_all(
        rendered(papers, "credit note"),
        "Credit note 2026-0001",
        "Invoice 2026-0002 of 25 November 2026 is taken back. Reason: The short dress is off.",
        "Credited EUR 330.00",
    )


def test_render_credit_note_pdf_of_a_part_says_what_is_left(order):
    final = issue_final_invoice(quote=make_accepted_quote(order, price=AGREED), **issuing())
    why = {"reason": "A fault.", "today": TODAY, "now": NOW}
    parts = {0: Decimal("60.00")}
    lowering = credit_invoice(invoice=final, parts=parts, lowers_price=True, **why)
    again = credit_invoice(invoice=final, parts=parts, **why)

    assert has_all(
        render_credit_note_pdf(lowering),
        "Part of invoice 2026-0001 of 25 November 2026 is taken back. Reason: A fault.",
        "The invoice now stands at EUR 600.00; what was paid counts towards it.",
    )
    assert has_all(
        render_credit_note_pdf(again),
        "The invoice now stands at EUR 540.00; what was paid counts towards it.",
        "Another invoice asks for what is due instead.",
    )
    assert "Another invoice" not in words(render_credit_note_pdf(lowering))


@pytest.mark.parametrize(
    ("back", "left"),
    [
        ("60.00", "Nothing is left to pay on this order."),
        ("20.00", "Still to be given back on this order: EUR 40.00."),
    ],
)
def test_render_receipt_pdf_of_a_refund_names_its_credit_note(order, back, left):
    invoice = issue_final_invoice(quote=make_accepted_quote(order, price=AGREED), **issuing())
    record_payment(**paying(order, "660.00"))
    note = credit_invoice(
        invoice=invoice,
        parts={0: Decimal("60.00")},
        reason="A fault.",
        lowers_price=True,
        today=TODAY,
        now=NOW,
    )
    refund = record_payment(**paying(order, back, refund=True, credit_note=note))
    receipt = issue_receipt(payment=refund, **receipting())

    assert has_all(
        render_receipt_pdf(receipt),
        "Receipt 2026-0001 for money given back",
        "Credit note 2026-0001",
        f"Given back: EUR {back}",
        left,
    )


def test_render_invoice_pdf_without_tax_says_why(order):
    seller = replace(SELLER, exemption="Exempt: a small business")
    quote = make_accepted_quote(order, rate=Decimal(0))

    assert has_all(
        render_invoice_pdf(issue_final_invoice(quote=quote, **issuing(seller=seller))),
        "To pay EUR 568.97 Exempt: a small business",
    )


def test_render_quote_pdf_shows_what_is_to_choose_and_what_is_new(order):
    quote = make_quote(order)
    quote.content["options"] = [
        {
            "garment_id": 1,
            "kind": "cloth",
            "title": "Cloth of Dress 1",
            "alternatives": [
                Alternative("Satin").to_json(),
                Alternative("Crepe", Decimal("50.00"), what={"cloths": {"shell": 2}}).to_json(),
                Alternative("Cotton", Decimal("-20.00"), what={"cloths": {"shell": 3}}).to_json(),
            ],
        }
    ]
    quote.content["changes"] = {"since": 1, "lines": ["Dress 1, lining: full instead of none"]}

    assert has_all(
        render_quote_pdf(quote),
        "To choose: Cloth of Dress 1",
        "Satin as above Crepe EUR +50.00 Cotton EUR −20.00",
        "What is new since the version before • Dress 1, lining: full instead of none",
    )


def test_render_receipt_pdf_says_what_came_and_what_is_left(papers):
    assert has_all(
        rendered(papers, "receipt"),
        "Receipt 2026-0001",
        "Received with thanks: EUR 330.00",
        "By bank transfer, on 25 November 2026.",
        "Still to pay on this order: EUR 330.00.",
    )


@pytest.mark.parametrize("name", ["quote", "deposit", "final", "credit note", "receipt"])
def test_every_paper_is_tagged_and_always_the_same(papers, name):
    first, second = rendered(papers, name), rendered(papers, name)

    with pikepdf.open(io.BytesIO(first)) as pdf:
        root = pdf.Root
        assert root.MarkInfo.Marked
        assert str(root.Lang) == "en"
        assert "/StructTreeRoot" in root
        assert [str(intent.S) for intent in root.OutputIntents] == ["/GTS_PDFA1"]
        assert root.OutputIntents[0].DestOutputProfile.N == 3
        assert "/AF" not in root
        with pdf.open_metadata() as meta:
            assert (meta["pdfaid:part"], meta["pdfaid:conformance"]) == ("3", "A")
            assert meta["pdfuaid:part"] == "1"
            assert meta["dc:title"].endswith(", Mill Lane Dressmaking")
        assert embedded_fonts(pdf)
        boxes = {tuple(round(float(side)) for side in page.MediaBox) for page in pdf.pages}
    assert boxes == {(0, 0, 595, 842)}
    assert first == second


def embedded_fonts(pdf):
    """Whether the file holds every font that it names, each with its way back to letters."""
    rows = [item for item in pdf.objects if isinstance(item, pikepdf.Dictionary)]
    composite = [row for row in rows if row.get("/Subtype") == "/Type0"]
    described = [row for row in rows if row.get("/Type") == "/FontDescriptor"]
    return (
        bool(composite)
        and all("/ToUnicode" in font for font in composite)
        and all("/FontFile2" in row or "/FontFile3" in row for row in described)
    )


def electronic_papers(order):
    """Deposit invoice and the credit note that takes part of it back, with e-invoices."""
    asked = issuing(
        seller=replace(SELLER, country="PT", vat_number="PT123456789"),
        buyer=replace(BUYER, country="PT"),
        electronic=True,
    )
    invoice = issue_deposit_invoice(quote=make_accepted_quote(order, price=AGREED), **asked)
    why = {"reason": "A fault.", "today": TODAY, "now": NOW}
    return invoice, credit_invoice(invoice=invoice, parts={0: Decimal("30.00")}, **why)


def test_a_paper_carries_its_e_invoice(order):
    invoice, note = electronic_papers(order)

    for row, render in ((invoice, render_invoice_pdf), (note, render_credit_note_pdf)):
        row.refresh_from_db()
        first = render(row)
        with pikepdf.open(io.BytesIO(first)) as pdf:
            (file,) = pdf.Root.AF
            kept = pdf.attachments["invoice.xml"].get_file()
            assert (str(file.AFRelationship), str(file.UF)) == ("/Alternative", "invoice.xml")
            assert kept.read_bytes() == xml_of(row)
            assert kept.mime_type == "text/xml"
        assert render(row) == first


def test_an_e_invoice_that_would_break_a_rule_is_not_issued(order):
    quote = make_accepted_quote(order, price=AGREED)

    with pytest.raises(NotElectronic) as refused, transaction.atomic():
        issue_deposit_invoice(quote=quote, **issuing(electronic=True))

    assert str(refused.value) == (
        "The e-invoice would not be valid. The workshop's address names no country. (BR-09) "
        "The customer's address names no country. (BR-11) "
        "The workshop has no VAT number, by which the receiver knows it. (BR-CO-26)"
    )
    assert Invoice.objects.count() == NumberSeries.objects.count() == 0


def test_a_paper_without_e_invoice_carries_none(order):
    invoice = issue_deposit_invoice(quote=make_accepted_quote(order), **issuing())

    with pikepdf.open(io.BytesIO(render_invoice_pdf(invoice))) as pdf:
        assert len(pdf.attachments) == 0


@pytest.mark.parametrize(
    ("state", "notice"),
    [
        ("open", "Not sent yet: for the workshop only."),
        ("superseded", "Replaced by a newer version."),
        ("withdrawn", "Withdrawn: this quote no longer holds."),
    ],
)
def test_render_quote_pdf_says_when_it_does_not_hold(order, state, notice):
    quote = send_quote(quote=make_quote(order), now=NOW)
    sent = words(render_quote_pdf(quote))
    Quote.objects.filter(pk=quote.pk).update(state=state)
    quote.refresh_from_db()

    now = words(render_quote_pdf(quote))

    assert notice not in sent
    assert "To accept" in sent
    assert notice in now
    assert "To accept" not in now


def test_render_quote_pdf_of_a_workshop_without_tax_names_none(order):
    quote = send_quote(quote=make_quote(order, rate=Decimal(0)), now=NOW)

    text = words(render_quote_pdf(quote))

    assert "Price EUR 568.97" in text
    assert "VAT" not in text


@pytest.mark.parametrize(
    ("currency", "price"),
    [("XOF", "Price XOF 185,000"), ("KWD", "Price KWD 185000.000"), ("JPY", "Price JPY 185,000")],
)
def test_render_quote_pdf_shows_the_decimals_of_the_currency(order, currency, price):
    nets = (Decimal(185_000),)

    text = words(render_quote_pdf(make_quote(order, nets=nets, rate=Decimal(0), currency=currency)))

    assert price.replace("185000", "185,000") in text


def test_render_quote_pdf_shows_each_drawing(order):
    quote = make_quote(order)
    plain = render_quote_pdf(quote)
    for garment in quote.content["garments"]:
        garment["drawing"] = DRAWING

    drawn = render_quote_pdf(quote)

    def figures(pdf):
        with pikepdf.open(io.BytesIO(pdf)) as opened:
            return sum(
                1
                for item in opened.objects
                if isinstance(item, pikepdf.Dictionary) and item.get("/S") == "/Figure"
            )

    assert figures(drawn) - figures(plain) == 2


def test_render_quote_pdf_prints_names_as_they_are_typed_and_fetches_nothing(order, tmp_path):
    secret = tmp_path / "secret.txt"
    secret.write_text("the secret")
    quote = make_quote(order)
    quote.content["buyer"]["name"] = "<b>Bo & Co</b> <script>x</script>"
    quote.content["terms"] = f'<img src="{secret.as_uri()}"> <a href="http://localhost:1/">'
    quote.content["garments"][0]["drawing"] = (
        '<svg xmlns="http://www.w3.org/2000/svg">'
        f'<image href="{secret.as_uri()}" width="9" height="9"/></svg>'
    )

    text = words(render_quote_pdf(quote))

    assert "<b>Bo & Co</b> <script>x</script>" in text
    assert "<img src=" in text
    assert "the secret" not in text


def test_render_quote_pdf_of_many_garments_and_long_names_stays_on_paper(order):
    nets = tuple(Decimal("100.00") for _ in range(12))
    quote = make_quote(order, nets=nets)
    quote.content["garments"][0]["title"] = "A very long title " * 12
    quote.content["buyer"]["address"] = "\n".join(f"Line {number}" for number in range(8))

    with pdfplumber.open(io.BytesIO(render_quote_pdf(quote))) as document:
        outside = [
            letter["text"]
            for page in document.pages
            for letter in page.chars
            if min(letter["x0"], page.width - letter["x1"], letter["top"], page.height - letter["bottom"]) < 0
        ]
        pages = len(document.pages)

    assert outside == []
    assert pages > 1


def test_render_quote_pdf_writes_days_and_hours_of_the_workshop(order):
    """20:00 UTC is 05:00 of the next day in Tokyo."""
    order.workshop.time_zone = "Asia/Tokyo"
    order.workshop.save()
    evening = NOW.replace(hour=20)
    quote = send_quote(quote=make_quote(order), now=evening)
    accept_quote(quote=quote, name="Bo", text="yes", today=TODAY, now=evening)

    assert has_all(
        render_quote_pdf(Quote.objects.get()),
        "Date 26 November 2026",
        "Accepted by Bo on 26 November 2026, 05:00 JST.",
    )


def test_render_invoice_pdf_keeps_a_line_and_its_amount_on_one_page(order):
    quote = make_accepted_quote(order, nets=tuple(Decimal(1000 + place) for place in range(40)))
    for place, line in enumerate(quote.content["lines"]):
        line["words"] = f"Line{1000 + place} " + "of heavy silk with a long name " * 5
    quote.save()
    invoice = issue_final_invoice(quote=quote, **issuing())

    with pdfplumber.open(io.BytesIO(render_invoice_pdf(invoice))) as document:
        pages = [page.extract_text() for page in document.pages]

    named = [re.findall(r"Line(\d+)", page) for page in pages]
    priced = [[found.replace(",", "") for found in re.findall(r"EUR (1,0\d\d)\.00", page)] for page in pages]
    assert len(pages) > 2
    assert named == priced
    assert [number for page in named for number in page] == [str(1000 + place) for place in range(40)]


def test_an_accepted_quote_is_printed_with_its_answer_only_once_it_is_given(order):
    quote = send_quote(quote=make_quote(order), now=NOW)
    before = words(render_quote_pdf(quote))
    answered = accept_quote(quote=quote, name="Bo", text="yes", today=TODAY, now=NOW + timedelta(hours=2))

    after = words(render_quote_pdf(answered))

    assert "To accept, open the private link" in before
    assert "Accepted by Bo on 25 November 2026, 11:00 UTC." in after
    assert "To accept" not in after
