"""The files that jobs make."""

from __future__ import annotations

import hashlib
from datetime import datetime
from typing import Protocol

from django.core.files.base import ContentFile
from django.db import transaction
from django.utils import timezone

from workshop.jobs.models import Document


class MadeBy(Protocol):
    """What a file has to know of its job; a handler passes the context that it was given."""

    id: int
    workshop_id: int


def store_document(
    *, job: MadeBy, name: str, content_type: str, content: bytes, now: datetime | None = None
) -> Document:
    """Keep a file made by a job; a second attempt of the job replaces what the first one left.

    Args:
        name: what a person saves the file as, unique within the job.
    """
    digest = hashlib.sha256(content).hexdigest()
    kept = Document.objects.filter(job_id=job.id, name=name).first()
    if kept is not None and kept.sha256 == digest:
        return kept
    document = Document(
        workshop_id=job.workshop_id,
        job_id=job.id,
        name=name,
        content_type=content_type,
        size_bytes=len(content),
        sha256=digest,
        created_at=now or timezone.now(),
    )
    document.file.save(name, ContentFile(content), save=False)
    try:
        _put_in_place(document, kept)
    except BaseException:
        # The row is not there, so nothing would ever find the file again.
        document.file.delete(save=False)
        raise
    return document


@transaction.atomic
def _put_in_place(document: Document, kept: Document | None) -> None:
    document.save()
    if kept is not None:
        stale = kept.file
        kept.delete()
        transaction.on_commit(lambda: stale.delete(save=False))
