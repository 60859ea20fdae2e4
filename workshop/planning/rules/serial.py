"""A plan from a list: each task in turn, as early as what is already placed allows."""

from __future__ import annotations

from collections.abc import Sequence

from .compiled import Compiled, Work
from .dispatch import clear_of, pinned_spans
from .machines import Held
from .problem import Places, Span


def close_up(compiled: Compiled, places: Places) -> Places | None:
    """Return the same plan with its idle gaps closed: same people, same turns, nothing later.

    Each task is placed after those that came before it on its resource and its machines. By induction none
    starts later than it did, and so, as a later start never ends sooner, none ends later. Where the plan did
    not keep to the waits of its tasks they may be later, and then None says that the openings end first.
    """
    flat = [place for row in places for place in row]
    place_of = {index: number for number, index in enumerate(compiled.sequence)}
    turn = sorted(compiled.sequence, key=lambda index: (flat[index].start, place_of[index]))
    free_from = [0] * len(compiled.number_of)
    pins, held = pinned_spans(compiled), Held(compiled)
    for index in turn:
        work = compiled.works[index]
        if work.task.pinned is not None:
            continue
        resource = compiled.number_of[flat[index].resource]
        ready = max(free_from[resource], work.ready(flat[before].end for before in work.before))
        start = first_start(compiled, work, (resource, ready), pins[resource], held)
        if start is None:
            return None
        flat[index] = compiled.placement(index, resource, start)
        free_from[resource] = flat[index].end
        held.hold(work, start, flat[index].end)
    return compiled.places(flat)


def first_start(
    compiled: Compiled, work: Work, wished: tuple[int, int], taken: Sequence[Span], held: Held
) -> int | None:
    """Return the first start on the wished resource, from the wished minute on, that is clear of what is
    taken of it and for which the task's machines can be had; None where the openings end first."""
    resource, ready = wished
    openings, minutes = compiled.openings[resource], work.minutes_on(resource)
    while True:
        start = openings.next_start(ready, minutes, split=work.task.split)
        end = None if start is None else openings.end(start, minutes, split=work.task.split)
        if start is None or end is None:
            return None
        later = held.freed(work, start, end)
        if later is None and not clear_of(taken, start, end):
            later = next(span.end for span in taken if span.end > start)
        if later is None:
            return start
        ready = later
