"""How many of each machine are held when: what dispatch, closing up and searching all ask.

A task holds its machines from its start to its end. What is pinned holds them too, and may, as a fact, hold
more than there are.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Iterable
from itertools import pairwise

from .compiled import Compiled, Work
from .problem import Span


class Held:
    """The stretches of time for which machines are held, a sorted list a machine, and those in which all of
    it are."""

    def __init__(self, compiled: Compiled) -> None:
        self.counts = [machine.count for machine in compiled.problem.machines]
        self._spans: list[list[Span]] = [[] for _ in self.counts]
        self._longest = [0] * len(self.counts)
        self._full: list[list[Span]] = [[] for _ in self.counts]  # sorted, none touches another
        for work in compiled.works:
            if work.task.pinned is not None:
                self.hold(work, work.task.pinned.start, work.task.pinned.end)

    def hold(self, work: Work, start: int, end: int) -> None:
        """Note that the task holds its machines from ``start`` to ``end``."""
        for machine in work.machines if start < end else ():
            insort(self._spans[machine], Span(start, end))
            self._longest[machine] = max(self._longest[machine], end - start)
            self._count_anew(machine, start, end)

    def release(self, work: Work, start: int, end: int) -> None:
        """Take back what ``hold`` noted."""
        for machine in work.machines if start < end else ():
            spans = self._spans[machine]
            del spans[bisect_left(spans, Span(start, end))]
            self._count_anew(machine, start, end)

    def freed(self, work: Work, start: int, end: int) -> int | None:
        """Return None where its machines can be had from ``start`` to ``end``, else a later minute from which
        they may be: before it they cannot."""
        for machine in work.machines:
            full = self._first_full(machine, start)
            if full is not None and full.start < end:
                return full.end
        return None

    def is_full(self, machine: int, minute: int) -> bool:
        """Tell whether all of the machine are held then."""
        full = self._first_full(machine, minute)
        return full is not None and full.start <= minute

    def profile(self, machine: int) -> list[tuple[Span, int]]:
        """Return the stretches during which at least one is held, with how many, never more than there
        are."""
        return [
            (span, min(used, self.counts[machine])) for span, used in _counted(self._spans[machine]) if used
        ]

    def _first_full(self, machine: int, minute: int) -> Span | None:
        """Return the first stretch that ends after the minute and in which all of the machine are held."""
        full = self._full[machine]
        number = bisect_right(full, minute, key=lambda span: span.end)
        return full[number] if number < len(full) else None

    def _count_anew(self, machine: int, start: int, end: int) -> None:
        """Work out again where all of the machine are held between the two, where something changed."""
        spans, full = self._spans[machine], self._full[machine]
        first = bisect_left(spans, Span(start - self._longest[machine], 0))
        near = [span for span in spans[first : bisect_left(spans, Span(end, 0))] if span.end > start]
        found = [
            Span(max(span.start, start), min(span.end, end))
            for span, used in _counted(near)
            if used >= self.counts[machine] and span.start < end and start < span.end
        ]
        begin = bisect_left(full, start, key=lambda span: span.end)
        until = bisect_right(full, end, key=lambda span: span.start)
        outside = [
            *(Span(span.start, start) for span in full[begin:until] if span.start < start),
            *(Span(end, span.end) for span in full[begin:until] if span.end > end),
        ]
        full[begin:until] = _joined(sorted([*outside, *found]))


def _counted(spans: Iterable[Span]) -> list[tuple[Span, int]]:
    """Return how many of the stretches lie over each other, from each edge to the next."""
    spans = list(spans)
    edges = sorted([(span.start, 1) for span in spans] + [(span.end, -1) for span in spans])
    found, used = [], 0
    for (start, change), (end, _) in pairwise(edges):
        used += change
        if start < end:
            found.append((Span(start, end), used))
    return found


def _joined(spans: Iterable[Span]) -> list[Span]:
    """Return sorted stretches with those that touch as one."""
    found: list[Span] = []
    for span in spans:
        if found and span.start <= found[-1].end:
            found[-1] = Span(found[-1].start, max(found[-1].end, span.end))
        else:
            found.append(span)
    return found
