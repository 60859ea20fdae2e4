"""One resource's openings: where a task that starts at a minute would end."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from itertools import accumulate
from typing import NamedTuple

from .problem import Span


class Stretch(NamedTuple):
    """Starts from ``first`` to ``last`` (both included) pause for ``pause`` minutes in all before their
    end."""

    first: int
    last: int
    pause: int


class Openings:
    """The openings of a resource, in order and apart; None is always open.

    Work runs only while it is open, so a split task that starts at ``s`` ends at ``s + minutes + pause``,
    where the pause is the closed time that it spans. That pause grows with the start only where an opening
    is crossed.
    """

    def __init__(self, spans: Sequence[Span] | None) -> None:
        self.spans = spans
        self._starts = [span.start for span in spans or ()]
        self._worked = [0, *accumulate(span.end - span.start for span in spans or ())]

    def end(self, start: int, minutes: int, *, split: bool) -> int | None:
        """Return when a task started exactly then would end, or None if it may not start then."""
        if self.spans is None:
            return start + minutes
        number = self._opening_at(start)
        if number is None:
            return None
        if start + minutes <= self.spans[number].end:
            return start + minutes
        return self._end_over_openings(number, start, minutes) if split else None

    def next_start(self, earliest: int, minutes: int, *, split: bool) -> int | None:
        """Return the first minute from ``earliest`` on at which the task may start, or None."""
        if self.spans is None:
            return earliest
        first = max(0, bisect_right(self._starts, earliest) - 1)
        for number in range(first, len(self.spans)):
            span = self.spans[number]
            start = max(span.start, earliest)
            if start < span.end and self.end(start, minutes, split=split) is not None:
                return start
        return None

    def pieces(self, start: int, minutes: int) -> tuple[Span, ...]:
        """Return the spans worked by a task that starts then and runs on through openings.

        Raises:
            ValueError: the openings end first, or are closed then.
        """
        if self.spans is None or not minutes:
            return (Span(start, start + minutes),)
        number = self._opening_at(start)
        found: list[Span] = []
        left = minutes
        while left > 0:
            if number is None or number >= len(self.spans):
                raise ValueError(f"{minutes} minutes from {start} run past the openings")
            begin = max(start, self.spans[number].start)
            found.append(Span(begin, min(begin + left, self.spans[number].end)))
            left -= found[-1].end - begin
            number += 1
        return tuple(found)

    def stretches(self, minutes: int, earliest: int, latest_end: int, *, split: bool) -> Iterator[Stretch]:
        """Yield every allowed start, from ``earliest`` on and ending by ``latest_end``, grouped by its
        pause."""
        if self.spans is None:
            if earliest + minutes <= latest_end:
                yield Stretch(earliest, latest_end - minutes, 0)
            return
        for number, span in enumerate(self.spans):
            if span.end <= earliest:
                continue
            if span.start + minutes > latest_end:
                return
            whole = not split or not minutes
            for found in [_within(span, minutes)] if whole else self._from_opening(number, minutes):
                first = max(found.first, earliest)
                last = min(found.last, latest_end - minutes - found.pause)
                if first <= last:
                    yield Stretch(first, last, found.pause)

    def _opening_at(self, minute: int) -> int | None:
        assert self.spans is not None
        number = bisect_right(self._starts, minute) - 1
        return number if number >= 0 and minute < self.spans[number].end else None

    def _end_over_openings(self, number: int, start: int, minutes: int) -> int | None:
        assert self.spans is not None
        worked = self._worked[number] + start - self.spans[number].start + minutes
        if worked > self._worked[-1]:
            return None
        # The end lies in the opening whose worked minutes first reach the total: an end exactly at closing
        # time belongs to the opening that closes, not to the one that follows.
        last = bisect_right(self._worked, worked - 1) - 1
        return self.spans[last].start + worked - self._worked[last]

    def _from_opening(self, number: int, minutes: int) -> Iterator[Stretch]:
        assert self.spans is not None
        span = self.spans[number]
        start = span.start
        while start < span.end:
            end = self.end(start, minutes, split=True)
            if end is None:
                return
            last = bisect_right(self._starts, end - 1) - 1
            # All later starts that still end in the same opening pause as long.
            until = min(span.end - 1, start + self.spans[last].end - end)
            yield Stretch(start, until, end - start - minutes)
            start = until + 1


def _within(span: Span, minutes: int) -> Stretch:
    return Stretch(span.start, span.end - max(1, minutes), 0)
