"""The statements of the money page, and their files."""

from __future__ import annotations

import csv
from io import StringIO

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from costing.models import Invoice
from tests.workshop.desk import made
from workshop.desk.exports import EXPORTS
from workshop.orders.models import Garment


def delivered(house) -> Garment:
    """A garment that was delivered, its deposit paid, the rest not invoiced."""
    garment = made.to_cut(house)
    Garment.objects.filter(pk=garment.pk).update(stage="delivered")
    return garment


def read(answer) -> list[list[str]]:
    return list(csv.reader(StringIO(answer.content.decode(), newline="")))


def test_money_page_shows_every_statement(house, owner):
    garment = delivered(house)
    made.accepted(house)

    answer = owner.get(reverse("desk:money"))

    assert [row.invoice.order.number for row in answer.context["open_invoices"]] == [garment.order.number + 1]
    assert [row.order for row in answer.context["deposits"]] == [garment.order]
    assert len(answer.context["months"]) == len(answer.context["styles"]) == 1
    for words in ("Still to come in", "Deposits held", "Profit by style", "notched collar and pleated skirt"):
        assert words in answer.text


def test_money_page_says_how_many_days_an_invoice_is_late(house, owner):
    made.accepted(house)
    today = house.workshop.day_of(timezone.now())
    for days, words in ((1, "1 day overdue"), (12, "12 days overdue")):
        Invoice.objects.update(due_on=today - made.timedelta(days=days))
        assert words in owner.get(reverse("desk:money")).text


@pytest.mark.parametrize("name", EXPORTS)
def test_export_is_a_file_with_a_header_in_an_empty_workshop(name, house, owner):
    today = house.workshop.day_of(timezone.now())

    answer = owner.get(reverse(f"desk:export-{name}"))

    assert answer["Content-Type"] == "text/csv; charset=utf-8; header=present"
    assert answer["Content-Disposition"] == f'attachment; filename="{name}-{today.isoformat()}.csv"'
    assert read(answer) == [list(EXPORTS[name].header)]


def test_export_of_unpaid_invoices_writes_amounts_plainly_and_runs_no_name(house, owner):
    house.client.name = '=HYPERLINK("x"), Åsa'
    house.client.save()
    made.accepted(house)
    invoice = Invoice.objects.get()

    header, row = read(owner.get(reverse("desk:export-unpaid")))

    assert dict(zip(header, row, strict=True)) == {
        "invoice": f"{invoice.year}-0001",
        "kind": "deposit",
        "order": "1",
        "client": '\'=HYPERLINK("x"), Åsa',
        "issued_on": invoice.issued_on.isoformat(),
        "due_on": invoice.due_on.isoformat(),
        "days_overdue": "0",
        "currency": "EUR",
        "amount": f"{invoice.payable:.2f}",
        "still_to_pay": f"{invoice.payable:.2f}",
    }


def test_exports_say_what_the_page_says(house, owner):
    delivered(house)
    page = owner.get(reverse("desk:money")).context

    files = {name: read(owner.get(reverse(f"desk:export-{name}")))[1:] for name in EXPORTS}

    (held,), (month,), (style,) = page["deposits"], page["months"], page["styles"]
    assert files["unpaid"] == []
    assert files["deposits"] == [
        ["1", "Marta Quist", held.since_on.isoformat(), "EUR", f"{held.asked:.2f}", f"{held.amount:.2f}"]
    ]
    assert files["sales"] == [
        [f"{month.year}-{month.month:02d}", "S", "21", "EUR"]
        + [f"{amount:.2f}" for amount in (month.net, month.tax, 0, month.gross)]
    ]
    assert files["profit"] == [
        [style.title, "1", "0", "EUR"]
        + [f"{amount:.2f}" for amount in (style.price, style.reckoned, style.cost, style.profit)]
        + [f"{style.margin * 100:.1f}"]
    ]


def test_statements_ask_the_same_questions_at_one_order_and_at_three(house, owner):
    addresses = [reverse(f"desk:{name}") for name in ("money", *(f"export-{name}" for name in EXPORTS))]

    def asked() -> dict[str, int]:
        found = {}
        for address in addresses:
            with CaptureQueriesContext(connection) as queries:
                assert owner.get(address).status_code == 200
            found[address] = len(queries)
        return found

    def more() -> None:
        delivered(house)
        made.accepted(house)

    more()
    at_one = asked()
    more()
    more()

    assert asked() == at_one
