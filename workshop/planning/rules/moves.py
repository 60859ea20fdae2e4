"""What a new plan moved, and why.

A task is known to be at a person and a minute, as the stored plan says. The cause of a move is read off the
two plans: the first of the causes below that holds.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from .compiled import Compiled, Work
from .problem import Placement, Places, Span
from .table import LEAST_MOVE


class Cause(StrEnum):
    """Why a task moved."""

    SKILL = "skill"  # who was to do it does not do that work now
    PAST = "past"  # it was not begun when it was to be
    HOURS = "hours"  # who was to do it is not there then
    RELEASE = "release"  # it waits for something from outside: cloth, a fitting
    BEFORE = "before"  # the task before it ends only then
    TAKEN = "taken"  # who was to do it does something else then
    MACHINE = "machine"  # its machine is held then
    SOONER = "sooner"  # it can be done sooner
    BALANCE = "balance"  # somebody else has more time for it


@dataclass(frozen=True, slots=True)
class KnownPlace:
    """Where the stored plan has a task; ``start`` may lie before minute 0."""

    resource: str
    start: int


@dataclass(frozen=True, slots=True)
class Move:
    """A task at ``index``, counted through the orders, that is elsewhere now; ``other`` is the task that
    caused it."""

    index: int
    known: KnownPlace
    place: Placement
    cause: Cause
    other: int | None = None


def moves(compiled: Compiled, known: Sequence[KnownPlace | None], places: Places) -> tuple[Move, ...]:
    """Return what the plan moved to another person, or by LEAST_MOVE minutes or more, with the cause."""
    flat = [place for row in places for place in row]
    return tuple(_moves(compiled, known, flat))


def _moves(
    compiled: Compiled, known: Sequence[KnownPlace | None], flat: Sequence[Placement]
) -> Iterator[Move]:
    for work, was, place in zip(compiled.works, known, flat, strict=True):
        if was is None or work.task.pinned is not None:
            continue
        if was.resource != place.resource or abs(was.start - place.start) >= LEAST_MOVE:
            cause, other = _cause(compiled, work, was, flat)
            yield Move(work.index, was, place, cause, other)


def _cause(
    compiled: Compiled, work: Work, was: KnownPlace, flat: Sequence[Placement]
) -> tuple[Cause, int | None]:
    if was.resource not in work.task.resources:
        return Cause.SKILL, None
    if was.start < 0:
        return Cause.PAST, None
    resource = compiled.number_of[was.resource]
    end = compiled.openings[resource].end(was.start, work.minutes_on(resource), split=work.task.split)
    if end is None:
        return Cause.HOURS, None
    if work.release > was.start:
        return Cause.RELEASE, None
    late = [before for before in work.before if flat[before].end > was.start]
    if late:
        return Cause.BEFORE, max(late, key=lambda before: flat[before].end)
    return _crowded(compiled, work, was, Span(was.start, end), flat)


def _crowded(
    compiled: Compiled, work: Work, was: KnownPlace, then: Span, flat: Sequence[Placement]
) -> tuple[Cause, int | None]:
    """Return which other task is in the way of where it was; with none, it moved to its own good."""
    for other in compiled.works:
        if other.index != work.index and _overlap(flat[other.index], then):
            if flat[other.index].resource == was.resource:
                return Cause.TAKEN, other.index
            if set(other.machines) & set(work.machines):
                return Cause.MACHINE, other.index
    sooner = flat[work.index].start < was.start
    return (Cause.SOONER if sooner else Cause.BALANCE), None


def _overlap(place: Placement, then: Span) -> bool:
    return place.start < then.end and then.start < place.end
