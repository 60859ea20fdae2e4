"""What is sent twice is done once: every form and button that makes something carries a mark of its own."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import IntegrityError, transaction

from workshop.people.models import Submission, Workshop

KEPT_FOR = timedelta(days=90)
"""A page is hardly left open for longer, so its mark need not be known for longer."""


@dataclass(frozen=True, slots=True)
class Sent:
    """Where what was sent has led, and whether this was the time that it was done."""

    led_to: str
    is_first: bool


@transaction.atomic
def do_once(*, workshop: Workshop, mark: uuid.UUID, now: datetime, deed: Callable[[], str]) -> Sent:
    """Do a deed and keep where it led; with a mark that was sent before, only say where that led.

    Where the deed is refused nothing is kept of it, so that the same page may be mended and sent again.

    Args:
        deed: does the work and returns a short text by which it is found again: an address, a number.
    """
    try:
        # Two that are sent at one moment meet here: the second waits until the first is committed.
        with transaction.atomic():
            submission = Submission.objects.create(workshop=workshop, mark=mark, sent_at=now)
    except IntegrityError:
        return Sent(Submission.objects.get(workshop=workshop, mark=mark).led_to, is_first=False)
    submission.led_to = deed()
    submission.save(update_fields=["led_to"])
    return Sent(submission.led_to, is_first=True)


def forget_submissions(*, workshop: Workshop, now: datetime) -> int:
    """Forget marks that no open page can carry any more; return how many."""
    return Submission.objects.filter(workshop=workshop, sent_at__lt=now - KEPT_FOR).delete()[0]
