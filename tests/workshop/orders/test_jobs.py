"""What the background work of orders leaves behind."""

from __future__ import annotations

from datetime import timedelta

import pdfplumber
import pytest
from django.core import mail

from costing.models import Cloth
from tests.workshop.orders.house import (
    NOW,
    accept,
    draft,
    garment_of,
    measure,
    pay,
    send,
    set_prices,
    take,
    wish,
)
from workshop import jobs
from workshop.jobs.models import Document, Job
from workshop.orders import queries, services
from workshop.orders.models import OrderDocument

NAMES = {
    "pattern-a4": "order 1, Grey dress, draft 1, A4.pdf",
    "pattern-letter": "order 1, Grey dress, draft 1, Letter.pdf",
    "pattern-sheet": "order 1, Grey dress, draft 1, full size.pdf",
    "pattern-a0": "order 1, Grey dress, draft 1, A0.pdf",
    "pattern-roll": "order 1, Grey dress, draft 1, 36 in roll.pdf",
    "pattern-hand": "order 1, Grey dress, draft 1, by hand.pdf",
    "pattern-svg": "order 1, Grey dress, draft 1, pattern.svg",
    "pattern-dxf": "order 1, Grey dress, draft 1, pattern.dxf",
}
BEGINNINGS = {"pattern-svg": b"<svg", "pattern-dxf": b"  0\nSECTION"}


@pytest.fixture
def skirt(house):
    """A garment of few pieces, whose files are made the sooner."""
    cloths = {"shell": (house.satin, ""), "interfacing": (house.interfacing, "")}
    return garment_of(take(house, wishes=[wish(house, style="tiered-skirt", cloths=cloths)]))


def do(kind: str, run_jobs) -> Job:
    """Run what is due of one kind: the plan, which everything asks for, is planning's own matter."""
    Job.objects.filter(kind="refresh_plan").delete()
    run_jobs()
    return Job.objects.filter(kind=kind).latest("pk")


def stored(files) -> list[str]:
    return sorted(path.name for path in files.rglob("*") if path.is_file())


def test_pattern_files_are_made_once_with_names_that_people_know(house, skirt, run_jobs, files):
    made = draft(house, skirt)
    services.request_files(draft=made, by=house.owner, now=NOW)

    job = do("pattern_files", run_jobs)

    assert job.state == "done"
    rows = {row.kind: row for row in queries.files_of(made)}
    assert {kind: row.document.name for kind, row in rows.items()} == NAMES
    for kind, row in rows.items():
        with row.document.file.open("rb") as file:
            content = file.read()
        assert content.startswith(BEGINNINGS.get(kind, b"%PDF-"))
        assert (row.document.size_bytes, row.superseded) == (len(content), False)
    assert rows["pattern-a4"].document.size_bytes < 400_000
    assert len(stored(files)) == 8
    with rows["pattern-letter"].document.file.open("rb") as file:
        page = pdfplumber.open(file).pages[0]
    sides = sorted(side / 72 * 25.4 for side in (float(page.width), float(page.height)))
    assert sides == pytest.approx([215.9, 279.4], abs=0.1)


def test_pattern_files_of_a_superseded_draft_are_made_again_with_the_mark_in_place_of_the_old(
    house, skirt, run_jobs, files, django_capture_on_commit_callbacks
):
    made = draft(house, skirt)
    services.request_files(draft=made, by=house.owner, now=NOW)
    do("pattern_files", run_jobs)
    measure(house, skirt, now=NOW + timedelta(days=1), waist_girth="71")

    with django_capture_on_commit_callbacks(execute=True):
        job = do("superseded_files", run_jobs)

    assert job.state == "done"
    assert [row.superseded for row in queries.files_of(made)] == [True] * 8
    assert (OrderDocument.objects.count(), Document.objects.count(), len(stored(files))) == (8, 8, 8)
    with queries.files_of(made).get(kind="pattern-a4").document.file.open("rb") as file:
        letters = "".join(letter["text"] for letter in pdfplumber.open(file).pages[0].chars)
    assert "superseded" in letters.lower()
    with queries.files_of(made).get(kind="pattern-svg").document.file.open("rb") as file:
        assert b"superseded: do not cut" in file.read()


def test_superseding_a_draft_without_files_asks_for_none(house, garment):
    draft(house, garment)

    services.draft_garment(garment=garment, by=house.owner, now=NOW)

    assert Job.objects.filter(kind="superseded_files").count() == 0


def test_pattern_files_of_a_draft_that_is_gone_say_so(house, garment, run_jobs):
    made = draft(house, garment)
    services.request_files(draft=made, by=house.owner, now=NOW)
    made.delete()

    job = do("pattern_files", run_jobs)

    assert (job.state, job.message) == (
        "failed",
        "This draft was erased with its wearer's data; nothing is made from it any more.",
    )


def test_lay_plans_job_lays_and_reckons(house, garment, run_jobs):
    set_prices(house)
    made = draft(house, garment)
    services.request_lay_plans(draft=made, by=house.owner, now=NOW, seconds=0.5)

    job = do("lay_plans", run_jobs)

    assert job.state == "done"
    assert [lay.role for lay in queries.current_lays(made)] == ["shell", "interfacing"]
    assert queries.current_estimate(garment).content["provisional"] is False
    assert queries.lays_job(made) == job


def test_lay_plans_job_that_cannot_lay_says_why_in_words(house, garment, run_jobs):
    made = draft(house, garment)
    Cloth.objects.filter(pk=house.satin.pk).update(width_mm=100)
    services.request_lay_plans(draft=made, by=house.owner, now=NOW)

    job = do("lay_plans", run_jobs)

    assert job.state == "failed"
    assert job.message == (
        "The piece skirt front is 103.5 cm across and the cloth gives 8.0 cm of width: 95.5 cm too wide. "
        "What would do: a cloth 105.5 cm wide or wider."
    )


def test_paper_job_makes_the_quote_and_sends_the_letter(house, order, run_jobs):
    link = send(house, order)

    job = do("paper", run_jobs)

    assert job.state == "done"
    (letter,) = mail.outbox
    assert (letter.subject, letter.to, letter.reply_to) == (
        "Your quote from Thread & Tide",
        ["marta@example.org"],
        ["hello@thread.example"],
    )
    assert queries.link_address(link) in letter.body.splitlines()
    ((name, content, kind),) = letter.attachments
    assert (name, kind) == ("quote for order 1, version 1.pdf", "application/pdf")
    assert content.startswith(b"%PDF-")


def test_paper_job_sends_no_letter_to_a_client_without_an_address(house, order, run_jobs):
    house.client.email = ""
    house.client.save()
    send(house, order)

    job = do("paper", run_jobs)

    assert (job.state, mail.outbox) == ("done", [])
    assert queries.papers_of(order).count() == 1


def test_paper_job_sends_no_letter_about_a_quote_that_was_replaced(house, order, run_jobs):
    send(house, order)
    services.send_quote(
        quote=services.prepare_quote(order=order, by=house.owner, now=NOW), by=house.owner, now=NOW
    )

    do("paper", run_jobs)

    assert [letter.attachments[0][0] for letter in mail.outbox] == ["quote for order 1, version 2.pdf"]


def test_paper_job_makes_invoice_receipt_and_credit_note(house, order, run_jobs):
    pay(house, order, accept(house, order).deposit)
    services.credit_invoice(invoice=order.invoices.get(), reason="wrong name", by=house.owner, now=NOW)

    told = [words for _, words in queries.papers_under_way(order)]
    do("paper", run_jobs)

    assert told == ["Credit note 2026-0001", "Receipt 2026-0001", "Invoice 2026-0001", "Quote, version 1"]
    assert queries.papers_under_way(order) == []
    assert {row.kind: row.document.name for row in queries.papers_of(order)} == {
        "quote": "quote for order 1, version 1.pdf",
        "invoice": "invoice 2026-0001.pdf",
        "receipt": "receipt 2026-0001.pdf",
        "credit-note": "credit note 2026-0001.pdf",
    }
    assert set(queries.paper_jobs(order).values_list("state", flat=True)) == {"done"}


def test_paper_job_twice_leaves_one_file(house, order, run_jobs, files, django_capture_on_commit_callbacks):
    send(house, order)
    params = Job.objects.get(kind="paper").params
    do("paper", run_jobs)
    jobs.request(kind="paper", key="again", workshop=house.workshop, params={**params, "letter": ""}, now=NOW)

    with django_capture_on_commit_callbacks(execute=True):
        do("paper", run_jobs)

    assert (Document.objects.count(), len(stored(files)), len(mail.outbox)) == (1, 1, 1)


def test_letter_s_name_of_the_workshop_cannot_break_the_header(house, order, run_jobs):
    house.workshop.name = "Thread\nBcc: all@example.org"
    house.workshop.save()
    send(house, order)

    job = do("paper", run_jobs)

    assert job.state == "done"
    assert mail.outbox[0].subject == "Your quote from Thread Bcc: all@example.org"
