"""How far a job is, and the files that jobs made."""

from __future__ import annotations

import pytest
from django.core.files.base import ContentFile
from django.utils import timezone

from tests.workshop.desk import made
from workshop import jobs
from workshop.jobs.models import Document
from workshop.orders.models import OrderDocument


def put(house, name: str, content_type: str) -> Document:
    row = Document(
        workshop=house.workshop, name=name, content_type=content_type, size_bytes=4, sha256="0" * 64,
        created_at=timezone.now(),
    )  # fmt: skip
    row.file.save(name, ContentFile(b"file"))
    row.file.close()
    return row


def status(browser, row: Document) -> int:
    """How a file's address answers; read to its end, which closes the file."""
    answer = browser.get(f"/files/{row.pk}/")
    if answer.streaming:
        list(answer.streaming_content)
    return answer.status_code


def test_job_tells_its_progress(house, owner, apprentice):
    job = jobs.request(kind="refresh_plan", key="plan", workshop=house.workshop)

    for browser in (owner, apprentice):
        assert browser.get(f"/jobs/{job.pk}/").json() == {
            "open": True,
            "progress": 0,
            "message": "Waiting to begin",
        }


def test_job_of_another_workshop_is_not_there(owner, next_door):
    job = jobs.request(kind="refresh_plan", key="plan", workshop=next_door.workshop)

    assert owner.get(f"/jobs/{job.pk}/").status_code == 404
    assert owner.get(f"/jobs/{'9' * 30}/").status_code == 404


@pytest.mark.parametrize(
    ("content_type", "address", "disposition"),
    [
        ("application/pdf", "", 'inline; filename="a.pdf"'),
        ("application/pdf", "?save", 'attachment; filename="a.pdf"'),
        ("image/svg+xml", "", 'attachment; filename="a.pdf"'),
        ("text/html", "", 'attachment; filename="a.pdf"'),
    ],
)
def test_document_is_shown_only_where_it_is_a_pdf(content_type, address, disposition, house, owner):
    row = put(house, "a.pdf", content_type)

    answer = owner.get(f"/files/{row.pk}/{address}")

    assert b"".join(answer.streaming_content) == b"file"
    assert answer["Content-Type"] == content_type
    assert answer["Content-Disposition"] == disposition
    assert answer["X-Content-Type-Options"] == "nosniff"


def test_document_of_another_workshop_is_not_there(owner, next_door):
    row = put(next_door, "a.pdf", "application/pdf")

    assert status(made.signed_in(next_door.owner), row) == 200
    assert status(owner, row) == 404


def test_document_whose_file_is_gone_is_not_there(house, owner):
    row = put(house, "a.pdf", "application/pdf")
    row.file.storage.delete(row.file.name)

    assert status(owner, row) == 404


@pytest.mark.parametrize(("kind", "expected"), [("pattern-a4", 200), ("invoice", 404), ("quote", 404)])
def test_document_about_money_is_not_for_an_apprentice(kind, expected, house, owner, apprentice):
    row = put(house, "a.pdf", "application/pdf")
    OrderDocument.objects.create(order=made.take(house), kind=kind, source_id=1, document=row)

    assert status(apprentice, row) == expected
    assert status(owner, row) == 200
