"""The times of a week at which somebody works, as they are written and as they are kept."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import time
from itertools import pairwise

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

Span = tuple[int, time, time]
"""Weekday (0 = Monday), begins, ends."""

Times = tuple[time, time]

MOST_SPANS_A_DAY = 6
"""More than anybody works in a day; keeps what is stored small."""

_SPAN = re.compile(
    r"(?P<h1>\d{1,2})([:.](?P<m1>\d{2}))?\s*(-|\u2013|to)\s*(?P<h2>\d{1,2})([:.](?P<m2>\d{2}))?", re.ASCII
)


class BadTimes(ValueError):
    """What was written is no times of a day, or the week cannot be; the message says what would do."""


def read_day(text: str) -> list[Times]:
    """Read ``9:00 to 13:00, 14-18`` as spans of the wall clock; an empty text is none. Raises: BadTimes."""
    return [_read_span(part.strip()) for part in re.split("[,;]", text) if part.strip()]


def write_day(spans: Iterable[Times]) -> str:
    """Return the spans as ``read_day`` reads them."""
    return ", ".join(f"{begins:%H:%M} to {ends:%H:%M}" for begins, ends in spans)


def check_week(spans: Sequence[Span], *, backwards: str = "ends before it begins") -> None:
    """Refuse a week that cannot be.

    Raises: BadTimes for no weekday, a span the wrong way round (``backwards`` says it), two that overlap, or
    too many.
    """
    for weekday, begins, ends in spans:
        if not 0 <= weekday < len(WEEKDAYS):
            raise BadTimes("A weekday is from 0 (Monday) to 6 (Sunday).")
        if begins >= ends:
            raise BadTimes(f"{WEEKDAYS[weekday]} {backwards}; exchange the times.")
        if sum(1 for day, _, _ in spans if day == weekday) > MOST_SPANS_A_DAY:
            raise BadTimes(f"Write at most {MOST_SPANS_A_DAY} spans for {WEEKDAYS[weekday]}.")
    for (day, _, ends), (next_day, begins, _) in pairwise(sorted(spans)):
        if day == next_day and begins < ends:
            raise BadTimes(f"Two spans of {WEEKDAYS[day]} overlap; join them.")


def as_kept(spans: Iterable[Span]) -> list[list[int | str]]:
    """Return the spans in order, as they are stored."""
    return [[day, f"{begins:%H:%M}", f"{ends:%H:%M}"] for day, begins, ends in sorted(spans)]


def as_week(kept: Iterable[Sequence[int | str]]) -> dict[int, list[Times]]:
    """Return what ``as_kept`` stored: weekday -> its spans."""
    week: dict[int, list[Times]] = {}
    for day, begins, ends in kept:
        week.setdefault(int(day), []).append((time.fromisoformat(str(begins)), time.fromisoformat(str(ends))))
    return week


def _read_span(text: str) -> Times:
    found = _SPAN.fullmatch(text)
    try:
        if found is None:
            raise ValueError(text)
        begins, ends = (time(int(found[f"h{end}"]), int(found[f"m{end}"] or 0)) for end in (1, 2))
    except ValueError:
        raise BadTimes(f"'{text[:40]}' is no time of the day; write it like 9:00 to 13:00.") from None
    return begins, ends
