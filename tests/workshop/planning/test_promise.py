from __future__ import annotations

import math

import pytest

from workshop.planning.rules.errors import CannotPlan
from workshop.planning.rules.present import present_plan
from workshop.planning.rules.problem import Noise, Objective, Order, Placement, Problem, Resource, Span, Task
from workshop.planning.rules.promise import odds_words, promise, tightest
from workshop.planning.rules.remedies import giving_way, longer_days, overtime, rush
from workshop.planning.rules.solver import make_plan

DAYS = (Span(0, 100), Span(200, 300), Span(400, 500))
WIDE = (Span(0, 10_000),)


def sew(minutes, *, by=("Ada",), **more):
    return Task("sew", minutes, by, split=True, **more)


def day_of(minute):
    return minute // 200


def problem(*orders, people=("Ada",), spans=DAYS):
    return Problem(Objective.TARDINESS, tuple(Resource(name, spans) for name in people), orders)


KNOWN = problem(Order("known", (sew(40),), due=0))
FIRST = (((Placement("Ada", (Span(0, 40),))),),)


def test_promise_puts_the_new_order_between_what_is_planned():
    new = Order("new", (Task("cut", 30, ("Ada",)), Task("sew", 60, ("Ada",), (0,))))

    made = promise(KNOWN, FIRST, [new])

    assert (made.even, made.likely) == (260, 260)
    assert made.places[0] == FIRST[0]
    assert made.places[1] == (Placement("Ada", (Span(40, 70),)), Placement("Ada", (Span(200, 260),)))


def test_promise_agrees_with_the_quantile_of_a_log_normal():
    made = promise(
        problem(spans=(Span(0, 10_000),)),
        (),
        [Order("new", (sew(100, noise=Noise(1.0, 0.25)),))],
        runs=20_000,
        seed=5,
    )

    # Any table of the normal distribution: 1.2816 is not exceeded nine times out of ten.
    assert made.even == pytest.approx(100, abs=2)
    assert made.likely == pytest.approx(100 * math.exp(1.2816 * 0.25), abs=3)
    assert made.kept(made.likely) >= 0.9 > made.kept(made.likely - 2)


def test_noise_of_what_goes_before_moves_the_promise():
    noisy = problem(Order("known", (sew(90, noise=Noise(1.0, 0.4)),), due=0))
    places = ((Placement("Ada", (Span(0, 90),)),),)
    exact = problem(Order("known", (sew(90),), due=0))
    new = [Order("new", (sew(10),))]

    assert promise(noisy, places, new).likely > promise(exact, places, new).likely == 100


def test_a_wedding_party_is_promised_with_the_last_of_its_garments():
    made = promise(problem(), (), [Order("bride", (sew(80),)), Order("maid", (sew(80),))])

    assert made.even == 260


def test_promise_refuses_what_the_openings_do_not_hold_often_enough():
    with pytest.raises(CannotPlan, match="plan further ahead"):
        promise(problem(), (), [Order("new", (sew(290, noise=Noise(1.0, 0.4)),))])
    with pytest.raises(CannotPlan, match="does not fit"):
        promise(KNOWN, FIRST, [Order("new", (sew(290),))])


def test_present_plan_keeps_people_and_turns_and_puts_the_unplanned_last():
    both = ("Ada", "Bo")
    made = problem(
        Order("late", (sew(50, by=both),), due=100),
        Order("soon", (sew(50, by=both),), due=50),
        Order("new", (sew(20, by=both),), due=0),
        people=both,
    )

    places = present_plan(made, [[("Bo", 10)], [("Bo", 80)], [(None, None)]])

    assert [(row[0].resource, row[0].start) for row in places] == [("Bo", 0), ("Bo", 50), ("Ada", 0)]


def test_present_plan_gives_work_to_others_where_its_person_has_no_time_left():
    made = Problem(
        Objective.TARDINESS,
        (Resource("Ada", DAYS), Resource("Bo", ())),
        (Order("one", (sew(50, by=("Ada", "Bo")),), due=0),),
    )

    assert present_plan(made, [[("Bo", 10)]])[0][0].resource == "Ada"


def test_tightest_names_who_has_least_free_for_what_only_they_can_do():
    made = problem(Order("known", (sew(90),), due=0), people=("Ada", "Bo"))
    places = ((Placement("Ada", (Span(0, 90),)),),)
    new = Order("new", (sew(50), Task("press", 50, ("Ada", "Bo"), split=True)))

    tight = tightest(made, places, [new], by=100)

    # Ada: 10 free of 100 for 50. Ada and Bo together: 110 free for 100.
    assert (tight.people, tight.minutes, tight.free) == (("Ada",), 50, 10)
    assert [task.name for task in tight.tasks] == ["sew"]


def test_longer_days_end_later_once_a_day_and_only_before_the_minute():
    ada = Resource("Ada", (Span(0, 40), Span(50, 100), Span(200, 300), Span(400, 500)))

    assert longer_days(ada, 30, 320, day_of) == (
        Resource("Ada", (Span(0, 40), Span(50, 130), Span(200, 320), Span(400, 500))),
        2,
    )
    assert longer_days(Resource("Bo"), 30, 320, day_of) == (Resource("Bo"), 0)


def test_the_least_overtime_that_keeps_the_day_is_offered():
    new = [Order("new", (sew(110),))]

    # 60 minutes are free on the first day: 50 are left for the second, over at 250 without overtime.
    assert promise(KNOWN, FIRST, new).even == 250
    tight = overtime(KNOWN, FIRST, new, people=("Ada",), by=200, day_of=day_of)
    assert tight is not None
    assert (tight.a_day, tight.days, tight.kept) == (60, 1, 1.0)
    assert overtime(KNOWN, FIRST, new, people=("Ada",), by=100, day_of=day_of) is None


def test_the_order_that_can_wait_best_gives_way():
    made = problem(
        Order("tight", (sew(50),), due=60),
        Order("loose", (sew(50),), due=500),
        Order("small", (sew(1),), due=500),
    )
    places = make_plan(made, seconds=0).places

    ways = giving_way(made, places, [Order("new", (sew(50),))], people=("Ada",), by=100)

    assert [(way.number, way.kept) for way in ways] == [(1, 1.0), (0, 1.0)]
    # The new one takes 50 to 100; what is small stays at 200 to 201, and what gave way goes after it.
    assert ways[0].likely == 251


def test_work_that_is_pinned_or_gives_too_little_does_not_give_way():
    pin = Placement("Ada", (Span(0, 90),))
    made = problem(Order("pinned", (sew(90, pinned=pin),)), Order("small", (sew(5),), due=500))

    assert (
        giving_way(
            made, present_plan(made, [[(None, None)]] * 2), [Order("n", (sew(50),))], people=("Ada",), by=100
        )
        == ()
    )


def test_a_rush_says_who_would_be_late_for_it():
    planned = problem(Order("soon", (sew(100),), due=100), Order("slack", (sew(100),), due=500), spans=WIDE)
    places = present_plan(planned, [[("Ada", 0)], [("Ada", 100)]])

    found = rush(planned, places, [Order("new", (sew(50),), due=0)], by=50)

    # The new work is done first; what was just in time is then 50 minutes over its due, less than half a
    # day, and what has slack keeps its day.
    assert (found.likely, found.kept, found.later) == (50, 1.0, ())


def test_a_rush_of_a_day_makes_the_next_one_late():
    planned = problem(Order("soon", (sew(300),), due=300), spans=WIDE)
    places = present_plan(planned, [[("Ada", 0)]])

    found = rush(planned, places, [Order("new", (sew(300),), due=0)], by=300)

    assert (found.likely, found.kept, found.later) == (300, 1.0, ((0, 600),))


@pytest.mark.parametrize(
    ("chance", "words"),
    [(0.0, "less than 1 of 100"), (0.899, "89 of 100"), (0.9, "90 of 100"), (1.0, "more than 99 of 100")],
)
def test_odds_are_never_called_certain(chance, words):
    assert odds_words(chance) == words
