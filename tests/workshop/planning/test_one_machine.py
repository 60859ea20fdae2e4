from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.planning.rules.compiled import Compiled
from workshop.planning.rules.dispatch import best_dispatch
from workshop.planning.rules.one_machine import Line, descend, improve_sequence, line_of
from workshop.planning.rules.problem import Objective, Order, Problem, Resource, Span, Task

JOBS = st.lists(st.tuples(st.integers(1, 20), st.integers(0, 60), st.integers(0, 9)), min_size=1, max_size=6)


def problem_of(jobs, **changed):
    orders = tuple(
        Order(
            str(n),
            (Task("work", minutes, ("Ada",)),),
            due=due,
            weight=weight,
            release=changed.get("release", 0),
        )
        for n, (minutes, due, weight) in enumerate(jobs)
    )
    resources = changed.get("resources", (Resource("Ada"),))
    return Problem(changed.get("objective", Objective.TARDINESS), resources, orders)


@settings(max_examples=60, deadline=None)
@given(JOBS, st.integers(0, 10))
def test_improve_sequence_finds_the_best_of_all_orders(jobs, release):
    compiled = Compiled(problem_of(jobs, release=release))
    line = line_of(compiled)

    found = improve_sequence(compiled, line, best_dispatch(compiled), seed=0, stop=lambda: False)

    assert found.cost * 1000 == min(line.cost(order) for order in permutations(range(len(jobs))))


@given(JOBS)
def test_descend_ends_where_no_single_move_is_better(jobs):
    minutes, due, weight = zip(*jobs, strict=True)
    line = Line(0, minutes, due, weight)

    found = descend(line, range(len(jobs)))

    assert sorted(found) == list(range(len(jobs)))
    for origin in range(len(found)):
        for target in range(len(found)):
            moved = list(found)
            moved.insert(target, moved.pop(origin))
            assert line.cost(moved) >= line.cost(found)


def test_cost_of_a_line_by_hand():
    # Ends 5 + 3 = 8 and 8 + 4 = 12: 2 late at weight 2, 3 late at weight 5.
    assert Line(5, [3, 4], [6, 9], [2, 5]).cost([0, 1]) == 2 * 2 + 3 * 5


@pytest.mark.parametrize(
    "changed",
    [
        {"resources": (Resource("Ada", (Span(0, 500),)),)},
        {"resources": (Resource("Ada"), Resource("Bo"))},
        {"objective": Objective.MAKESPAN},
    ],
)
def test_line_of_is_nothing_for_other_problems(changed):
    assert line_of(Compiled(problem_of([(3, 5, 1), (4, 5, 1)], **changed))) is None
