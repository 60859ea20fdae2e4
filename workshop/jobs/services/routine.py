"""Work that is done once a day without being asked for: which kinds, and for whom."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime

from workshop.jobs.models import Job
from workshop.jobs.services.requests import request
from workshop.people.models import Workshop

Wanted = Callable[[datetime], Iterable[Workshop]]
_DAILY: dict[str, Wanted] = {}


def daily(kind: str, wanted: Wanted) -> None:
    """Let a kind of job be done once a day for each workshop that ``wanted`` returns at a moment.

    ``wanted`` is asked at every sweep, so it is one cheap question.
    """
    _DAILY[kind] = wanted


def request_daily(*, now: datetime) -> int:
    """Ask for the daily work that was not asked for yet on the workshop's own day; return how many jobs.

    Two sweepers at one moment may ask for one job twice, which is why daily work, too, is safe to do twice.
    """
    asked = 0
    for kind, wanted in _DAILY.items():
        for workshop in wanted(now):
            key = workshop.day_of(now).isoformat()
            if not Job.objects.filter(workshop=workshop, kind=kind, key=key).exists():
                request(kind=kind, key=key, workshop=workshop, now=now)
                asked += 1
    return asked
