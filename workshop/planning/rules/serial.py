"""A plan from a list: each task in turn, as early as what is already placed allows."""

from __future__ import annotations

from collections.abc import Sequence

from .compiled import Compiled, Work
from .dispatch import clear_of, pinned_spans
from .problem import Places, Span


def close_up(compiled: Compiled, places: Places) -> Places:
    """Return the same plan with its idle gaps closed: same people, same turns, nothing later.

    Each task is placed after those that came before it on its resource. By induction none starts later than
    it did, and so, as a later start never ends sooner, none ends later.
    """
    flat = [place for row in places for place in row]
    turn = sorted(compiled.sequence, key=lambda index: flat[index].start)
    free_from = [0] * len(compiled.number_of)
    pins = pinned_spans(compiled)
    for index in turn:
        work = compiled.works[index]
        if work.task.pinned is not None:
            continue
        resource = compiled.number_of[flat[index].resource]
        ready = max([work.release, free_from[resource], *(flat[before].end for before in work.before)])
        start = _first_start(compiled, work, resource, ready, pins)
        flat[index] = compiled.placement(index, resource, start)
        free_from[resource] = flat[index].end
    return compiled.places(flat)


def _first_start(
    compiled: Compiled, work: Work, resource: int, ready: int, pins: Sequence[list[Span]]
) -> int:
    openings = compiled.openings[resource]
    while True:
        start = openings.next_start(ready, work.task.minutes, split=work.task.split)
        assert start is not None, "the plan that is closed up is itself a later place"
        end = openings.end(start, work.task.minutes, split=work.task.split)
        assert end is not None
        if clear_of(pins[resource], start, end):
            return start
        ready = next(span.end for span in pins[resource] if span.end > start)
