"""Papers issued at the same moment: no number twice, none left out, none lost."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from decimal import Decimal

import pytest
from django.db import connection, transaction

from costing.models import Invoice, NumberSeries
from costing.queries import Stock, balance_of, stock_of
from costing.services import (
    add_cloth,
    buy_cloth,
    issue_deposit_invoice,
    record_payment,
    release_cloth,
    reserve_cloth,
)
from costing.services.invoices import NothingToInvoice
from costing.services.payments import MoreThanDue
from tests.costing.papers import (
    NOW,
    TODAY,
    issuing,
    make_accepted_quote,
    make_garment,
    make_order,
    make_workshop,
    paying,
)
from tests.rig.live import database_url
from tests.rig.processes import ROOT

PROCESSES, EACH = 5, 10


def together(*works):
    """Run each in a thread with a connection of its own, all beginning at once; return what went wrong."""
    gate = threading.Barrier(len(works))
    errors: list[Exception] = []

    def run(work) -> None:
        gate.wait()
        try:
            work()
        except Exception as error:
            errors.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=[work]) for work in works]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return errors


@pytest.mark.django_db(transaction=True)
def test_fifty_invoices_issued_by_several_processes_have_no_gap_and_no_double(tmp_path):
    workshop = make_workshop()
    orders = [make_order(workshop, number=number) for number in range(1, PROCESSES * EACH + 1)]
    quotes = [str(make_accepted_quote(order).pk) for order in orders]
    children = [start(quotes[first::PROCESSES]) for first in range(PROCESSES)]
    for child in children:
        assert child.stdout.readline() == "ready\n"

    for child in children:
        child.stdin.write("go\n")
        child.stdin.flush()
    printed = [child.communicate(timeout=120)[0].split() for child in children]

    assert [child.returncode for child in children] == [0] * PROCESSES
    assert sorted(int(number) for lines in printed for number in lines) == list(range(1, 51))
    assert sorted(Invoice.objects.values_list("number", flat=True)) == list(range(1, 51))
    assert NumberSeries.objects.get(workshop=workshop, kind="invoice").last == 50


def start(quotes):
    return subprocess.Popen(
        [sys.executable, "-m", "tests.costing.issue_invoices", *quotes],
        cwd=ROOT,
        env={**os.environ, "DATABASE_URL": database_url()},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


@pytest.mark.django_db(transaction=True)
def test_a_number_taken_in_a_transaction_that_fails_is_given_again():
    order = make_order(make_workshop())
    quote = make_accepted_quote(order)

    def issue_as_the_power_goes():
        with transaction.atomic():
            issue_deposit_invoice(quote=quote, **issuing())
            raise RuntimeError

    with pytest.raises(RuntimeError):
        issue_as_the_power_goes()

    assert issue_deposit_invoice(quote=quote, **issuing()).number == 1


@pytest.mark.django_db(transaction=True)
def test_one_deposit_asked_for_twice_at_once_is_one_invoice():
    quote = make_accepted_quote(make_order(make_workshop()))

    errors = together(*[lambda: issue_deposit_invoice(quote=quote, **issuing())] * 4)

    assert [type(error) for error in errors] == [NothingToInvoice] * 3
    assert Invoice.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_two_tills_cannot_take_more_than_is_due():
    order = make_order(make_workshop())
    make_accepted_quote(order, price=Decimal("660.00"))

    errors = together(*[lambda: record_payment(**paying(order, "400.00"))] * 3)

    assert [type(error) for error in errors] == [MoreThanDue] * 2
    assert balance_of(order).paid == Decimal("400.00")


@pytest.mark.django_db(transaction=True)
def test_cloth_set_aside_is_freed_once_by_two_at_once():
    order = make_order(make_workshop())
    dress = make_garment(order)
    satin = add_cloth(
        workshop=order.workshop,
        today=TODAY,
        use="shell",
        name="Satin",
        width_mm=1400.0,
        price_per_metre=Decimal("18.50"),
    )
    buy_cloth(cloth=satin, length_mm=3000, now=NOW)
    reserve_cloth(cloth=satin, length_mm=2000, garment_id=dress.pk, now=NOW)

    errors = together(*[lambda: release_cloth(garment_id=dress.pk, now=NOW)] * 4)

    assert errors == []
    assert stock_of([satin.pk])[satin.pk] == Stock(on_shelf=3000, reserved=0)
