"""Time without the minutes in which nobody is there.

Nights and closed days are most of a week. Taken out, a task that goes on over them is as long as its work,
and the solver has nothing to reason about where nothing can happen. What is left is counted from 0: an open
minute has one number, while the number at which an opening ends is also that at which the next begins. As a
start it means the next opening, as an end the one before.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import accumulate

from .problem import FURTHEST_MINUTE, Order, Placement, Problem, Span, Task


class OpenTime:
    """The open minutes of a problem, counted through."""

    def __init__(self, problem: Problem) -> None:
        self.spans = _open_to_anyone(problem)
        self._starts = [span.start for span in self.spans]
        self.counts = [0, *accumulate(span.end - span.start for span in self.spans)]

    def count(self, minute: int) -> int:
        """Return how many open minutes lie before the minute; never a later number for an earlier minute."""
        number = bisect_right(self._starts, minute) - 1
        if number < 0:
            return 0
        return self.counts[number] + min(minute, self.spans[number].end) - self.spans[number].start

    def start(self, count: int) -> int:
        """Return the minute at which something with that start begins."""
        number = min(bisect_right(self.counts, count) - 1, len(self.spans) - 1)
        return self.spans[number].start + count - self.counts[number]

    def end(self, count: int) -> int:
        """Return the minute at which something with that end is over."""
        number = max(bisect_left(self.counts, count) - 1, 0)
        return self.spans[number].start + count - self.counts[number]

    def pauses_after(self, minute: int) -> Iterator[tuple[int, int]]:
        """Yield, for each opening after the one that holds or precedes the minute, its count and the closed
        time that lies before it."""
        first = max(bisect_right(self._starts, minute) - 1, 0)
        for number in range(first + 1, len(self.spans)):
            yield self.counts[number], self.spans[number].start - self.spans[number - 1].end

    def offset(self, minute: int) -> int:
        """Return what to add to a count to have its minute, in the opening that holds or precedes the
        minute."""
        number = max(bisect_right(self._starts, minute) - 1, 0)
        return self.spans[number].start - self.counts[number]

    def most_open(self, minutes: int) -> int:
        """Return the most open minutes that lie in any stretch of so many minutes."""
        if not minutes:
            return 0
        # A stretch holds most where it begins with an opening, or ends with one.
        begins = (self.count(span.start + minutes) - self.count(span.start) for span in self.spans)
        ends = (self.count(span.end) - self.count(span.end - minutes) for span in self.spans)
        return max(*begins, *ends, 0)

    def shorten(self, problem: Problem) -> Problem:
        """Return the problem counted in open minutes. Its due times are left as they are: lateness is in
        minutes."""
        resources = tuple(
            replace(resource, open=None if resource.open is None else tuple(map(self._span, resource.open)))
            for resource in problem.resources
        )
        return replace(problem, resources=resources, orders=tuple(map(self._order, problem.orders)))

    def _span(self, span: Span) -> Span:
        return Span(self.count(span.start), self.count(span.end))

    def _order(self, order: Order) -> Order:
        return replace(order, release=self.count(order.release), tasks=tuple(map(self._task, order.tasks)))

    def _task(self, task: Task) -> Task:
        pin = task.pinned
        pinned = None if pin is None else Placement(pin.resource, tuple(map(self._span, pin.spans)))
        wait = self.most_open(task.wait)
        return replace(task, release=self.count(task.release), pinned=pinned, wait=wait)


def _open_to_anyone(problem: Problem) -> Sequence[Span]:
    """Return when any resource is open, or anything is pinned. One that is always open leaves nothing out."""
    if any(resource.open is None for resource in problem.resources):
        return (Span(0, FURTHEST_MINUTE),)
    spans = [span for resource in problem.resources for span in resource.open or ()]
    spans += [
        span for order in problem.orders for task in order.tasks if task.pinned for span in task.pinned.spans
    ]
    return _joined(spans) or (Span(0, FURTHEST_MINUTE),)


def _joined(spans: Iterable[Span]) -> list[Span]:
    found: list[Span] = []
    for span in sorted(spans):
        if found and span.start <= found[-1].end:
            found[-1] = Span(found[-1].start, max(found[-1].end, span.end))
        else:
            found.append(span)
    return found
