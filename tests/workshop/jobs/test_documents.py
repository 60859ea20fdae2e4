from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from django.utils import timezone

from tests.workshop.jobs.conftest import NOW
from workshop import jobs
from workshop.jobs.context import JobContext
from workshop.jobs.models import Document
from workshop.jobs.queries import documents_of
from workshop.jobs.services import claims


@pytest.fixture
def context(workshop, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "files"
    jobs.request(kind="trial note", key="a", workshop=workshop)
    return JobContext(claims.claim_next(now=timezone.now()))


def _store(context, content, name="pattern.pdf"):
    return jobs.store_document(
        job=context, name=name, content_type="application/pdf", content=content, now=NOW
    )


def test_store_document_keeps_the_file_and_its_facts(context, workshop):
    document = _store(context, b"%PDF one")

    kept = Document.objects.get()
    assert kept == document
    assert (kept.workshop, kept.job_id, kept.name) == (workshop, context.id, "pattern.pdf")
    assert (kept.size_bytes, kept.sha256) == (8, hashlib.sha256(b"%PDF one").hexdigest())
    assert kept.file.open().read() == b"%PDF one"
    kept.file.close()


def test_store_document_twice_keeps_one(context):
    assert _store(context, b"same") == _store(context, b"same")
    assert Document.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_store_document_replaces_what_an_earlier_attempt_left(context):
    stale = Path(_store(context, b"first attempt").file.path)

    document = _store(context, b"second attempt")

    assert list(documents_of(document.job)) == [document]
    assert Path(document.file.path).read_bytes() == b"second attempt"
    assert not stale.exists()


@pytest.mark.django_db(transaction=True)
def test_store_document_leaves_no_file_without_its_row(context, settings):
    context.workshop_id = None  # the row cannot be stored

    with pytest.raises(Exception, match="workshop_id"):
        _store(context, b"lost")

    assert [path for path in settings.MEDIA_ROOT.rglob("*") if path.is_file()] == []
