"""How many of each machine are held when: what dispatch, closing up and searching all ask.

A task holds its machines from its start to its end. What is pinned holds them too, and may, as a fact, hold
more than there are.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterable, Sequence
from itertools import pairwise

from .compiled import Compiled, Work
from .problem import Span


class Held:
    """The stretches of time for which machines are held, a sorted list a machine."""

    def __init__(self, compiled: Compiled) -> None:
        self.counts = [machine.count for machine in compiled.problem.machines]
        self._spans: list[list[Span]] = [[] for _ in self.counts]
        self._longest = [0] * len(self.counts)
        for work in compiled.works:
            if work.task.pinned is not None:
                self.hold(work, work.task.pinned.start, work.task.pinned.end)

    def hold(self, work: Work, start: int, end: int) -> None:
        """Note that the task holds its machines from ``start`` to ``end``."""
        for machine in work.machines if start < end else ():
            insort(self._spans[machine], Span(start, end))
            self._longest[machine] = max(self._longest[machine], end - start)

    def release(self, work: Work, start: int, end: int) -> None:
        """Take back what ``hold`` noted."""
        for machine in work.machines if start < end else ():
            spans = self._spans[machine]
            del spans[bisect_left(spans, Span(start, end))]

    def freed(self, work: Work, start: int, end: int) -> int | None:
        """Return None where its machines can be had from ``start`` to ``end``, else a later minute from which
        they may be: before it they cannot."""
        for machine in work.machines:
            crossing = self._crossing(machine, start, end)
            if len(crossing) >= self.counts[machine]:
                full = _first_full(crossing, self.counts[machine], start)
                if full is not None:
                    return full
        return None

    def is_full(self, machine: int, minute: int) -> bool:
        """Tell whether all of the machine are held then."""
        return len(self._crossing(machine, minute, minute + 1)) >= self.counts[machine]

    def profile(self, machine: int) -> list[tuple[Span, int]]:
        """Return the stretches during which at least one is held, with how many, never more than there
        are."""
        edges = sorted(
            [(span.start, 1) for span in self._spans[machine]]
            + [(span.end, -1) for span in self._spans[machine]]
        )
        found, used = [], 0
        for (start, change), (end, _) in pairwise(edges):
            used += change
            if used and start < end:
                found.append((Span(start, end), min(used, self.counts[machine])))
        return found

    def _crossing(self, machine: int, start: int, end: int) -> list[Span]:
        spans = self._spans[machine]
        first = bisect_left(spans, Span(start - self._longest[machine], 0))
        last = bisect_left(spans, Span(end, 0))
        return [span for span in spans[first:last] if span.end > start]


def _first_full(crossing: Sequence[Span], count: int, start: int) -> int | None:
    """Return the first end of a hold at a moment when all are held; None where one is free all the while."""
    for moment in _moments(crossing, start):
        held = [span.end for span in crossing if span.start <= moment < span.end]
        if len(held) >= count:
            return min(held)
    return None


def _moments(crossing: Iterable[Span], start: int) -> list[int]:
    """Return when the number held can grow: at the start asked for, and as each later hold begins."""
    return sorted({max(start, span.start) for span in crossing})
