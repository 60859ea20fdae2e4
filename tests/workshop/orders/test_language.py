"""What is sent and issued is in the workshop's language of that day, and keeps it."""

from __future__ import annotations

from django.core import mail

from costing.documents import render_quote_pdf
from costing.models import Quote
from tests.workshop.orders.house import NOW, accept, pay, send
from workshop.orders import services


def speak(order, language):
    order.workshop.language = language
    order.workshop.save(update_fields=["language"])


def test_papers_keep_the_language_in_which_they_were_sent_or_issued(house, order):
    speak(order, "de")
    accepted = accept(house, order)
    deposit = order.invoices.get()
    printed = render_quote_pdf(accepted)

    speak(order, "fr")
    order.refresh_from_db()
    receipt = pay(house, order, deposit.payable).receipt
    final = services.issue_invoice(order=order, kind="final", by=house.owner, now=NOW)
    note = services.credit_invoice(invoice=deposit, reason="Zu viel", by=house.owner, now=NOW)

    assert render_quote_pdf(Quote.objects.get(pk=accepted.pk)) == printed
    kept = [row.content["language"] for row in (accepted, deposit, note, receipt, final)]
    assert kept == ["de", "de", "de", "fr", "fr"]
    assert ">vorn</text>" in accepted.content["garments"][0]["drawing"]
    assert deposit.content["lines"][0]["words"] == "Anzahlung auf Angebot 1"
    assert final.content["lines"][-1]["words"] == "À déduire\u00a0: facture d’acompte 2026-0001"
    assert receipt.content["order"] == "Commande 1"


def test_a_new_version_in_another_language_changes_nothing_else(house, order):
    send(house, order)
    speak(order, "de")
    services.prepare_quote(order=order, by=house.owner, now=NOW)

    assert Quote.objects.get(order=order, version=2).content["changes"]["lines"] == []


def test_the_letter_about_a_quote_is_in_the_workshops_language(house, order, run_jobs):
    speak(order, "es")
    send(house, order)
    run_jobs()

    (message,) = mail.outbox
    assert message.subject == "Su presupuesto de Thread & Tide"
    assert message.body.startswith("Hola, Marta Quist:\n\nGracias por venir a vernos.")
    assert [name for name, *_ in message.attachments] == ["presupuesto del pedido 1, versión 1.pdf"]
