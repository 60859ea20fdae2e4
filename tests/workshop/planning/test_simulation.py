from __future__ import annotations

import math

import numpy as np
import pytest

from workshop.planning.rules.problem import Noise, Objective, Order, Placement, Problem, Resource, Span, Task
from workshop.planning.rules.simulation import simulate
from workshop.planning.rules.solver import make_plan

DAYS = (Span(0, 100), Span(200, 300), Span(400, 500))
NOISY = Noise(1.0, 0.3)


def problem(*orders, people=("Ada",), spans=DAYS):
    return Problem(Objective.TARDINESS, tuple(Resource(name, spans) for name in people), orders)


def sew(minutes, *, after=(), noise=Noise(), **more):  # noqa: B008  a Noise is a tuple
    return Task("sew", minutes, ("Ada",), after, split=more.pop("split", True), noise=noise, **more)


def places_of(made):
    return make_plan(made, seconds=0).places


def test_without_noise_the_runs_end_as_planned():
    made = problem(
        Order("one", (sew(80), sew(50, after=(0,))), due=0), Order("two", (sew(60, split=False),), due=500)
    )
    places = places_of(made)

    ends = simulate(made, places, runs=3)

    assert ends.tolist() == [[max(place.end for place in row)] * 3 for row in places]


def test_a_task_at_even_odds_takes_its_estimate_and_spreads_as_said():
    made = problem(Order("one", (sew(100, noise=Noise(1.2, 0.3)),)), spans=(Span(0, 100_000),))

    took = np.log(simulate(made, places_of(made), runs=4000, seed=1)[0] / 120)

    # The standard errors of mean and standard deviation are 0.3 / sqrt(4000) = 0.005 and 0.003.
    assert abs(took.mean()) < 0.02
    assert took.std() == pytest.approx(0.3, abs=0.015)


def test_the_same_seed_draws_the_same_and_another_seed_something_else():
    made = problem(Order("one", (sew(50, noise=NOISY),)))
    places = places_of(made)

    once = simulate(made, places, seed=3)

    assert np.array_equal(once, simulate(made, places, seed=3))
    assert not np.array_equal(once, simulate(made, places, seed=4))


def test_work_goes_on_in_the_next_opening_and_ends_at_closing_time():
    made = problem(Order("one", (sew(100),)), Order("two", (sew(100),)))

    assert sorted(simulate(made, places_of(made), runs=1)[:, 0]) == [100, 300]


def test_what_is_not_split_waits_for_an_opening_that_holds_its_estimate():
    made = problem(Order("one", (sew(30),), due=0), Order("two", (sew(80, split=False),), due=400))

    assert simulate(made, places_of(made), runs=1)[:, 0].tolist() == [30, 280]


def test_a_pinned_task_waits_for_its_time_and_for_the_person():
    pin = Placement("Ada", (Span(250, 290),))
    made = problem(Order("one", (sew(40, pinned=pin),)), Order("two", (sew(30),)))
    late = problem(Order("one", (sew(40, pinned=pin),)), Order("two", (sew(145, noise=Noise(1.2)),)))

    assert simulate(made, places_of(made), runs=1)[:, 0].tolist() == [290, 30]
    # 1.2 x 145 = 174 minutes of Ada's are over at 274; the pinned 40 go on into the third opening.
    places = ((pin,), (Placement("Ada", (Span(0, 100), Span(200, 245))),))
    assert simulate(late, places, runs=1)[:, 0].tolist() == [414, 274]


def test_a_pin_outside_of_hours_is_done_in_one_go():
    pin = Placement("Ada", (Span(120, 160),))
    made = problem(Order("one", (sew(40, pinned=pin),)))

    assert simulate(made, ((pin,),), runs=1).tolist() == [[160]]


def test_what_the_openings_no_longer_hold_never_ends():
    made = problem(Order("one", (sew(290, noise=Noise(1.5)),)))

    assert simulate(made, places_of(made), runs=1).tolist() == [[math.inf]]


def test_nothing_to_do_is_no_order():
    assert simulate(problem(), (), runs=5).shape == (0, 5)


def spread_of_ends(made, places):
    ends = simulate(made, places, runs=4000, seed=1)
    return float(np.std(np.log(ends[0])))


def test_what_an_order_shares_does_not_average_out():
    tasks = tuple(sew(100, after=(number - 1,) if number else ()) for number in range(4))
    always = (Resource("Ada"),)
    alike = Problem(Objective.TARDINESS, always, (Order("o", tasks, due=0, spread=0.2),))
    paced = Problem(Objective.TARDINESS, (Resource("Ada", None, 0.2),), (Order("o", tasks, due=0),))
    own = tuple(sew(100, after=t.after, noise=Noise(1.0, 0.2)) for t in tasks)
    apart = Problem(Objective.TARDINESS, always, (Order("o", own, due=0),))

    found = [spread_of_ends(made, places_of(made)) for made in (alike, paced, apart)]

    # 0.2 where all tasks share it; about 0.2 / sqrt(4) where each has its own.
    assert found == pytest.approx([0.2, 0.2, 0.1], rel=0.06)


def test_what_is_shared_is_one_on_average():
    made = Problem(Objective.TARDINESS, (Resource("Ada"),), (Order("o", (sew(100),), due=0, spread=0.3),))

    assert simulate(made, places_of(made), runs=40_000)[0].mean() == pytest.approx(100, rel=0.01)


def test_a_wait_for_somebody_outside_is_drawn_and_filled():
    waits = (sew(10), sew(10, after=(0,), wait=100, wait_spread=0.5))
    made = Problem(
        Objective.TARDINESS, (Resource("Ada"),), (Order("o", waits, due=0), Order("n", (sew(40),)))
    )
    places = (
        (Placement("Ada", (Span(0, 10),)), Placement("Ada", (Span(110, 120),))),
        (Placement("Ada", (Span(120, 160),)),),
    )

    ends = simulate(made, places, runs=4000)

    assert np.median(ends[0]) == pytest.approx(120, rel=0.03)
    assert np.quantile(ends[0], 0.9) == pytest.approx(20 + 100 * math.exp(1.2816 * 0.5), rel=0.05)
    # The other work fits into the wait, save where that is short.
    assert np.mean(ends[1] == 50) == pytest.approx(0.97, abs=0.02)
