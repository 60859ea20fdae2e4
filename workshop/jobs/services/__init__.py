"""What changes the stored jobs: asking and cancelling, daily work, claiming, outcomes, documents."""

from __future__ import annotations

from workshop.jobs.services.documents import store_document
from workshop.jobs.services.requests import cancel, request
from workshop.jobs.services.routine import daily

__all__ = ["cancel", "daily", "request", "store_document"]
