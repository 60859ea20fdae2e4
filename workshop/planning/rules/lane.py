"""One resource's time without its closing times, and what of it is taken.

On that clock a task that goes on over a night is as long as its work, so that a gap is long enough or it is
not. Minutes on the clock are called worked minutes; all others are those of the problem.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import accumulate

from .problem import FURTHEST_MINUTE, Span


class Lane:
    """The openings of a resource, as ``Openings`` takes them, with the worked stretches that are taken.

    What is taken without a gap between is kept as one stretch: a full lane is a short list, and what looks
    for room in it need not pass every task.
    """

    def __init__(self, spans: Sequence[Span] | None) -> None:
        opens = (Span(0, FURTHEST_MINUTE),) if spans is None else spans
        self._starts = [span.start for span in opens]
        self._ends = [span.end for span in opens]
        self._before = [0, *accumulate(span.end - span.start for span in opens)]
        self.taken: list[Span] = []

    def worked(self, minute: int) -> int:
        """Return how many of its open minutes lie before the minute."""
        number = bisect_right(self._starts, minute) - 1
        if number < 0:
            return 0
        return self._before[number] + min(minute, self._ends[number]) - self._starts[number]

    def start(self, worked: int) -> int:
        """Return the minute at which what starts there on the clock begins."""
        number = min(bisect_right(self._before, worked) - 1, len(self._starts) - 1)
        return self._starts[number] + worked - self._before[number]

    def end(self, worked: int) -> int:
        """Return the minute at which what ends there on the clock is over."""
        number = max(bisect_left(self._before, worked) - 1, 0)
        return self._starts[number] + worked - self._before[number]

    def take(self, span: Span) -> None:
        """Note a worked stretch as taken; nothing of it may be taken already."""
        number = bisect_left(self.taken, span)
        first, last = number, number
        if number and self.taken[number - 1].end == span.start:
            first -= 1
        if number < len(self.taken) and self.taken[number].start == span.end:
            last += 1
        whole = [*self.taken[first:number], span, *self.taken[number:last]]
        self.taken[first:last] = [Span(whole[0].start, whole[-1].end)]

    def give_back(self, span: Span) -> None:
        """Take back what ``take`` noted."""
        number = bisect_right(self.taken, Span(span.start, FURTHEST_MINUTE)) - 1
        around = self.taken[number]
        left = (Span(around.start, span.start), Span(span.end, around.end))
        self.taken[number : number + 1] = [piece for piece in left if piece.start < piece.end]

    def gap(self, ready: int, minutes: int, *, split: bool, until: int | None = None) -> Span | None:
        """Return the first free worked stretch of so many minutes from the worked minute on, None where there
        is none that ends by ``until``; one that may not be split lies within an opening."""
        taken, last = self.taken, self._before[-1]
        latest = last if until is None else min(until, last)
        number = bisect_right(taken, Span(ready, FURTHEST_MINUTE))
        start = max(ready, taken[number - 1].end) if number else ready
        while start < last and start + minutes <= latest:
            free_until = taken[number].start if number < len(taken) else last
            if free_until - start >= minutes:
                begin = start if split else self._whole(start, minutes)
                if begin is not None and begin + minutes <= free_until:
                    return Span(begin, begin + minutes) if begin + minutes <= latest else None
            if number >= len(taken):
                return None
            start = taken[number].end
            number += 1
        return None

    def is_free(self, span: Span) -> bool:
        """Tell whether nothing taken overlaps the worked stretch."""
        number = bisect_left(self.taken, Span(span.end, 0))
        return number == 0 or self.taken[number - 1].end <= span.start

    def _whole(self, worked: int, minutes: int) -> int | None:
        """Return the first worked minute from there on at which that many fit into what is left open."""
        number = bisect_right(self._before, worked) - 1
        while number < len(self._starts):
            begin = max(worked, self._before[number])
            if begin + minutes <= self._before[number + 1]:
                return begin
            number += 1
        return None
