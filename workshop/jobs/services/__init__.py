"""What changes the stored jobs: asking and cancelling, claiming, outcomes, documents."""

from __future__ import annotations

from workshop.jobs.services.documents import store_document
from workshop.jobs.services.requests import cancel, request

__all__ = ["cancel", "request", "store_document"]
