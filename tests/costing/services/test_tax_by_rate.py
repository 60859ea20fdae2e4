"""Garments of two tax rates in one order: quote, deposit, final invoice, credit notes, months, e-invoice."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from costing.einvoices import document_of, xml_of
from costing.models import CreditNote, Invoice
from costing.papers import invoice_paper, quote_paper
from costing.queries import line_words, sales_by_month
from costing.rules import ubl
from costing.rules.einvoice import broken_rules
from costing.rules.money import minor_unit
from costing.rules.tax import TaxKey, tax_on
from costing.services import credit_invoice, issue_deposit_invoice, issue_final_invoice
from tests.costing.papers import (
    BUYER,
    NOW,
    SELLER,
    TODAY,
    issuing,
    make_accepted_quote,
    make_order,
    make_workshop,
)

pytestmark = pytest.mark.django_db
NETS = (Decimal("400.00"), Decimal("100.00"))
RATES = (Decimal(23), Decimal(6))
USUAL, LOW = TaxKey.of(RATES[0]), TaxKey.of(RATES[1])


def groups_of(paper) -> dict[TaxKey, tuple[Decimal, Decimal]]:
    """Net and tax by group, after the tax of each was checked."""
    rows = {
        TaxKey(row["category"], Decimal(row["rate"])): (Decimal(row["net"]), Decimal(row["tax"]))
        for row in paper.content["groups"]
    }
    currency = (paper.invoice if isinstance(paper, CreditNote) else paper).currency
    assert all(tax == tax_on(net, key.rate, currency) for key, (net, tax) in rows.items())
    assert paper.net == sum(net for net, _ in rows.values())
    assert paper.tax == sum(tax for _, tax in rows.values())
    assert paper.gross == paper.net + paper.tax
    return rows


def electronic() -> dict[str, object]:
    seller = replace(SELLER, vat_number="PT123456789", country="PT", exemption="Exempt here.")
    return issuing(seller=seller, buyer=replace(BUYER, country="PT"), electronic=True)


def test_deposit_and_final_invoice_by_group(order):
    """400.00 at 23 % is 492.00, 100.00 at 6 % is 106.00: 598.00, and half of it 299.00.

    492/598 of 299.00 is 246.00, whose net is 200.00; the rest 53.00, whose net is 50.00.
    """
    quote = make_accepted_quote(order, nets=NETS, rates=RATES, deposit=50)

    deposit = issue_deposit_invoice(quote=quote, **issuing())
    final = issue_final_invoice(quote=quote, **issuing())

    assert groups_of(quote) == {
        USUAL: (Decimal("400.00"), Decimal("92.00")),
        LOW: (Decimal("100.00"), Decimal("6.00")),
    }
    half = {USUAL: (Decimal("200.00"), Decimal("46.00")), LOW: (Decimal("50.00"), Decimal("3.00"))}
    assert groups_of(deposit) == groups_of(final) == half
    assert (deposit.payable, deposit.rounding) == (Decimal("299.00"), 0)
    assert (final.payable, final.rounding) == (Decimal("299.00"), 0)


def test_lines_name_their_rate_where_there_are_several(order):
    quote = make_accepted_quote(order, nets=NETS, rates=RATES)
    invoice = issue_deposit_invoice(quote=quote, **issuing())

    assert [line.words for line in invoice_paper(invoice).lines] == [
        "Deposit on quote 1, VAT 6 %",
        "Deposit on quote 1, VAT 23 %",
    ]
    assert [garment.tax for garment in quote_paper(quote).garments] == [
        "with VAT 23 %",
        "with VAT 6 %",
    ]


def test_lines_of_one_rate_do_not_name_it(order):
    quote = make_accepted_quote(order, nets=NETS)

    assert line_words(quote.content) == ["Dress 1", "Dress 2"]
    assert [garment.tax for garment in quote_paper(quote).garments] == ["", ""]


def test_a_credit_note_lowers_its_own_group_and_the_months_show_both(order):
    quote = make_accepted_quote(order, nets=NETS, rates=RATES, deposit=0)
    final = issue_final_invoice(quote=quote, **issuing())

    note = credit_invoice(
        invoice=final, reason="a flaw", today=TODAY, now=NOW, parts={1: Decimal("53.00")}, lowers_price=True
    )

    assert groups_of(note) == {LOW: (Decimal("50.00"), Decimal("3.00"))}
    rows = {row.key: (row.net, row.tax, row.gross) for row in sales_by_month(order.workshop)}
    assert rows == {
        USUAL: (Decimal("400.00"), Decimal("92.00"), Decimal("492.00")),
        LOW: (Decimal("50.00"), Decimal("3.00"), Decimal("53.00")),
    }


def test_a_group_that_was_credited_whole_takes_no_part_in_the_next_deposit(order):
    quote = make_accepted_quote(order, nets=NETS, rates=RATES, deposit=100)
    deposit = issue_deposit_invoice(quote=quote, **issuing())
    credit_invoice(
        invoice=deposit, reason="one less", today=TODAY, now=NOW, parts={0: Decimal("106.00")},
        lowers_price=True,
    )  # fmt: skip
    credit_invoice(invoice=deposit, reason="wrong name", today=TODAY, now=NOW)

    again = issue_deposit_invoice(quote=quote, **issuing())

    assert groups_of(again) == {USUAL: (Decimal("400.00"), Decimal("92.00"))}


@pytest.mark.parametrize(("zero_rated", "says_why"), [(True, False), (False, True)])
def test_a_paper_says_why_it_is_exempt_and_nothing_of_what_is_zero_rated(order, zero_rated, says_why):
    key = TaxKey.of(Decimal(0), zero_rated=zero_rated)
    quote = make_accepted_quote(order, rates=[key, key], deposit=0)

    paper = invoice_paper(issue_final_invoice(quote=quote, **electronic()))

    assert paper.exemption == ("Exempt here." if says_why else "")


@pytest.mark.parametrize("low", [Decimal(6), Decimal(0)])
def test_e_invoices_break_no_rule_and_carry_both_groups(order, low):
    quote = make_accepted_quote(order, nets=NETS, rates=(RATES[0], low), price=Decimal("598.00"))
    deposit = issue_deposit_invoice(quote=quote, **electronic())
    final = issue_final_invoice(quote=quote, **electronic())
    note = credit_invoice(invoice=final, reason="cancelled", today=TODAY, now=NOW)

    for paper in (deposit, final, note):
        read = ubl.read(xml_of(paper))
        assert broken_rules(read) == []
        assert {group.key for group in read.groups} == {USUAL, TaxKey.of(low)}
        assert {group.key: (group.net, group.tax) for group in document_of(paper).groups} == groups_of(paper)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    nets=st.lists(st.decimals("0.50", 3000, places=2), min_size=2, max_size=4),
    rates=st.lists(
        st.sampled_from([Decimal(0), Decimal(6), Decimal("13.5"), Decimal(23)]), min_size=4, max_size=4
    ),
    deposit=st.integers(1, 100),
    currency=st.sampled_from(["EUR", "XOF", "KWD"]),
    number=st.integers(1, 10**9),
)
def test_papers_of_any_rates_add_up_by_group(nets, rates, deposit, currency, number):
    unit = minor_unit(currency)
    nets = [max(net.quantize(unit), unit) for net in nets]
    quote = make_accepted_quote(
        make_order(make_workshop(), number),
        nets=nets,
        rates=rates[: len(nets)],
        deposit=deposit,
        currency=currency,
    )
    papers = []
    for issue in (issue_deposit_invoice, issue_final_invoice):
        if sum(paper.payable for paper in papers) < quote.payable and (
            quote.deposit or issue is issue_final_invoice
        ):
            papers.append(issue(quote=quote, **issuing()))

    assert sum(paper.payable for paper in papers) == quote.payable
    agreed, asked = groups_of(quote), defaultdict(Decimal)
    for paper in papers:
        assert abs(paper.rounding) <= 3 * unit * len(agreed)
        for key, (net, _) in groups_of(paper).items():
            assert net >= 0
            asked[key] += net
    assert all(asked[key] <= net for key, (net, _) in agreed.items())
    if papers[-1].kind == Invoice.Kind.FINAL:
        assert dict(asked) == {key: net for key, (net, _) in agreed.items()}
        note = credit_invoice(invoice=papers[-1], reason="all", today=TODAY, now=NOW)
        assert note.payable == papers[-1].payable
        assert {k: v for k, v in groups_of(note).items() if v[0]} == {
            k: v for k, v in groups_of(papers[-1]).items() if v[0]
        }
