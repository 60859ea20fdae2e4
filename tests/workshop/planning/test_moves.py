"""Why a plan moved something."""

from __future__ import annotations

import pytest

from workshop.planning.rules.compiled import Compiled
from workshop.planning.rules.moves import Cause, KnownPlace, moves
from workshop.planning.rules.problem import (
    Machine,
    Objective,
    Order,
    Placement,
    Problem,
    Resource,
    Span,
    Task,
)

OPEN = (Span(0, 1000), Span(1500, 2500))


def problem(first, *rest):
    orders = tuple(Order(str(number), tasks, due=0) for number, tasks in enumerate((first, *rest)))
    people = (Resource("Ada", OPEN), Resource("Bo", OPEN))
    return Problem(Objective.TARDINESS, people, orders, (Machine("table"),))


def sew(people=("Ada",), **more):
    return Task("sew", 300, people, split=True, **more)


def at(start, who="Ada"):
    return Placement(who, (Span(start, start + 300),))


@pytest.mark.parametrize(
    ("known", "made", "places", "cause", "other"),
    [
        (KnownPlace("Bo", 0), problem((sew(),)), ((at(0),),), Cause.SKILL, None),
        (KnownPlace("Ada", -600), problem((sew(),)), ((at(0),),), Cause.PAST, None),
        (KnownPlace("Ada", 1100), problem((sew(),)), ((at(0),),), Cause.HOURS, None),
        (KnownPlace("Ada", 0), problem((sew(release=500),)), ((at(500),),), Cause.RELEASE, None),
        (KnownPlace("Ada", 0), problem((sew(),), (sew(),)), ((at(300),), (at(0),)), Cause.TAKEN, 1),
        (KnownPlace("Ada", 600), problem((sew(),)), ((at(0),),), Cause.SOONER, None),
        (
            KnownPlace("Bo", 0),
            problem((sew(("Ada", "Bo")),)),
            ((at(0),),),
            Cause.BALANCE,
            None,
        ),
        (
            KnownPlace("Ada", 0),
            problem((sew(machines=("table",)),), (sew(("Bo",), machines=("table",)),)),
            ((at(300),), (at(0, "Bo"),)),
            Cause.MACHINE,
            1,
        ),
    ],
)
def test_the_cause_is_read_off_the_two_plans(known, made, places, cause, other):
    rest = [None] * (len(Compiled(made).works) - 1)

    (move,) = moves(Compiled(made), [known, *rest], places)

    assert (move.index, move.cause, move.other) == (0, cause, other)


def test_a_step_moves_because_the_one_before_it_ends_later():
    made = problem((sew(), sew(after=(0,))))

    (move,) = moves(Compiled(made), [None, KnownPlace("Ada", 300)], ((at(500), at(800)),))

    assert (move.index, move.cause, move.other) == (1, Cause.BEFORE, 0)


def test_what_shifts_by_less_than_half_a_day_is_not_told():
    assert moves(Compiled(problem((sew(),))), [KnownPlace("Ada", 100)], ((at(300),),)) == ()


def test_what_is_pinned_is_where_the_owner_put_it():
    made = problem((sew(pinned=at(0)),))

    assert moves(Compiled(made), [KnownPlace("Bo", 600)], ((at(0),),)) == ()
