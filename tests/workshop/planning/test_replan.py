from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from tests.workshop.planning.conftest import make_garment, make_task
from workshop.people.models import LogEntry, Staff
from workshop.planning import queries
from workshop.planning.models import Closure, Fitting, Task
from workshop.planning.services import finish_task, replan, start_task
from workshop.planning.services.replanning import CannotPlanWorkshop

HOUR = timedelta(hours=1)


def utc(day, hour, minute=0, month=3):
    return datetime(2025, month, day, hour, minute, tzinfo=UTC)


def planned(task):
    task.refresh_from_db()
    return (task.staff.name, task.planned_start_at, task.planned_end_at)


def test_replan_puts_tasks_in_line_in_the_hours_of_those_who_can(place, garment, now):
    cut = make_task(garment, 1, "cut", 200)
    prepare = make_task(garment, 2, "prepare", 60)
    sew = make_task(garment, 3, "sew", 500)

    made = replan(workshop=place.workshop, now=now, seconds=2)

    assert planned(cut) == ("Ada", utc(24, 9), utc(24, 12, 20))
    # Nothing is due early, so the plan need not hurry: what counts is the line and the hours.
    assert planned(prepare)[0] == "Bo"
    assert planned(sew)[0] == "Ada"
    assert planned(cut)[2] <= planned(prepare)[1] < planned(prepare)[2] <= planned(sew)[1]
    assert (made.planned, made.moved, made.late_garment_ids, made.conflicts) == (3, (), (), ())


def test_replan_again_moves_nothing_and_writes_no_second_entry(place, garment, now):
    make_task(garment, 1, "cut", 200)
    replan(workshop=place.workshop, now=now, seconds=1)

    again = replan(workshop=place.workshop, now=now, seconds=1)

    assert again.moved == ()
    assert LogEntry.objects.filter(action="replan").count() == 1


def test_replan_puts_the_more_urgent_garment_first(place, now):
    later = make_task(make_garment(place.workshop, due_on=date(2025, 4, 20)), 1, "sew", 480)
    sooner = make_task(make_garment(place.workshop, due_on=date(2025, 3, 25)), 1, "sew", 480)

    made = replan(workshop=place.workshop, now=now, seconds=2)

    assert planned(sooner) == ("Ada", utc(24, 9), utc(24, 18))
    assert planned(later) == ("Ada", utc(25, 9), utc(25, 18))
    assert made.late_garment_ids == ()


def test_replan_tells_which_garments_will_be_late(place, now):
    garment = make_garment(place.workshop, due_on=date(2025, 3, 25))
    make_task(garment, 1, "sew", 481)

    assert replan(workshop=place.workshop, now=now, seconds=2).late_garment_ids == (garment.pk,)


def test_replan_respects_closures_absences_and_fittings(place, garment, now):
    Closure.objects.create(workshop=place.workshop, from_on=date(2025, 3, 24), to_on=date(2025, 3, 24))
    Closure.objects.create(
        workshop=place.workshop, staff=place.ada, from_on=date(2025, 3, 25), to_on=date(2025, 3, 26)
    )
    Fitting.objects.create(
        workshop=place.workshop,
        garment=make_garment(place.workshop, title="Other"),
        fitter=place.ada,
        starts_at=utc(27, 9),
        ends_at=utc(27, 10),
        created_at=now,
    )
    sew = make_task(garment, 1, "sew", 60)
    finish = make_task(make_garment(place.workshop), 1, "finish", 60)

    replan(workshop=place.workshop, now=now, seconds=2)

    assert planned(sew) == ("Ada", utc(27, 10), utc(27, 11))
    assert planned(finish) == ("Bo", utc(25, 9), utc(25, 10))


def test_replan_waits_for_the_fitting_with_what_comes_after_it(place, garment, now):
    Fitting.objects.create(
        workshop=place.workshop,
        garment=garment,
        fitter=place.ada,
        starts_at=utc(26, 15),
        ends_at=utc(26, 16),
        created_at=now,
    )
    before = make_task(garment, 3, "sew", 60)
    after = make_task(garment, 14, "finish", 60, after_fitting=True)

    replan(workshop=place.workshop, now=now, seconds=2)

    assert planned(before)[2] <= utc(26, 15)
    assert planned(after)[1] >= utc(26, 16)


def test_replan_keeps_what_is_under_way_pinned_or_done(place, garment, now):
    running = make_task(garment, 1, "sew", 120)
    start_task(task=running, staff=place.ada, now=now - HOUR)
    pinned = make_task(
        make_garment(place.workshop, due_on=date(2025, 3, 26)),
        1,
        "finish",
        30,
        pinned=True,
        staff=place.ada,
        planned_start_at=utc(25, 14),
        planned_end_at=utc(25, 14, 30),
    )
    done = make_task(garment, 2, "prepare", 30, staff=place.bo, done_at=now, started_at=now - HOUR)
    urgent = make_task(make_garment(place.workshop, due_on=date(2025, 3, 1)), 1, "sew", 60)

    made = replan(workshop=place.workshop, now=now, seconds=2)

    assert planned(running) == ("Ada", utc(24, 8), utc(24, 10))
    assert planned(pinned) == ("Ada", utc(25, 14), utc(25, 14, 30))
    assert planned(done) == ("Bo", None, None)
    assert planned(urgent) == ("Ada", utc(24, 10), utc(24, 11))
    assert made.conflicts == ()


def test_replan_tells_of_two_pins_at_one_time(place, garment, now):
    where = {
        "pinned": True,
        "staff": place.ada,
        "planned_start_at": utc(25, 10),
        "planned_end_at": utc(25, 11),
    }
    first = make_task(garment, 1, "sew", 60, **where)
    second = make_task(
        make_garment(place.workshop, due_on=date(2025, 5, 1), title="Red coat"), 1, "sew", 60, **where
    )

    made = replan(workshop=place.workshop, now=now, seconds=2)

    assert planned(first)[1] == utc(25, 10)
    assert planned(second)[0] == "Ada"
    assert made.conflicts == (
        "'Sew' of Red coat is pinned to a time at which Ada has another task; it was planned after it.",
    )


def test_replan_counts_the_pace_of_who_does_it(place, garment, now):
    Staff.objects.filter(pk=place.bo.pk).update(speed="0.5")
    finish = make_task(garment, 1, "finish", 60)

    replan(workshop=place.workshop, now=now, seconds=2)

    assert planned(finish) == ("Bo", utc(24, 9), utc(24, 11))


def test_replan_is_right_over_the_clock_change(place, garment, now):
    # Friday 28 March 17:00 in winter time; summer time begins on Sunday, so Monday 9:00 is 8:00 UTC.
    sew = make_task(garment, 1, "sew", 90)

    replan(workshop=place.workshop, now=utc(28, 17), seconds=2)

    assert planned(sew) == ("Ada", utc(28, 17), utc(31, 8, 30))


def test_replan_says_whose_hours_are_missing(place, garment, now):
    Staff.objects.filter(workshop=place.workshop).update(weekly_minutes=0)
    make_task(garment, 1, "sew", 60)

    with pytest.raises(CannotPlanWorkshop, match=r"^'Sew' of Blue dress fits in nobody's hours"):
        replan(workshop=place.workshop, now=now, seconds=1)


def test_replan_leaves_other_workshops_alone(place, garment, now):
    from tests.workshop.planning.conftest import make_place

    other = make_place()
    theirs = make_task(make_garment(other.workshop), 1, "sew", 60)
    make_task(garment, 1, "sew", 60)

    replan(workshop=place.workshop, now=now, seconds=1)

    theirs.refresh_from_db()
    assert theirs.planned_start_at is None


def test_refresh_plan_is_a_job(place, garment, run_jobs):
    from workshop import jobs

    task = make_task(garment, 101, "alter", 60)

    job = jobs.request(kind="refresh_plan", key="plan", workshop=place.workshop, again=True)
    assert run_jobs() == 1

    job.refresh_from_db()
    task.refresh_from_db()
    assert (job.state, job.result["planned"]) == ("done", 1)
    assert task.staff == place.ada


def test_due_by_counts_working_days_in_hand(place, now):
    ready_friday = make_garment(place.workshop, due_on=date(2025, 4, 1), title="in hand")
    make_task(ready_friday, 1, "sew", 60, planned_start_at=utc(28, 9), planned_end_at=utc(28, 10))
    late = make_garment(place.workshop, due_on=date(2025, 3, 27), title="late")
    make_task(late, 1, "sew", 60, planned_start_at=utc(28, 9), planned_end_at=utc(28, 10))
    just = make_garment(place.workshop, due_on=date(2025, 3, 31), title="just")
    make_task(just, 1, "sew", 60, planned_start_at=utc(28, 9), planned_end_at=utc(28, 10))
    make_garment(place.workshop, due_on=date(2025, 3, 31), title="unknown", stage="measure")
    make_garment(place.workshop, due_on=date(2025, 4, 2), title="far")

    found = queries.due_by(place.workshop, now, days_ahead=8)

    assert [(due.garment.title, due.days_in_hand) for due in found] == [
        ("late", -1),
        ("just", 0),
        ("unknown", None),
        ("in hand", 1),
    ]
    assert [due.minutes_left for due in found] == [60, 60, 0, 60]


@pytest.mark.parametrize("rows", [1, 3])
def test_due_by_asks_a_fixed_number_of_queries(rows, place, now, django_assert_num_queries):
    for _ in range(rows):
        make_task(make_garment(place.workshop), 1, "sew", 60)

    with django_assert_num_queries(6):
        queries.due_by(place.workshop, now, days_ahead=30)


def test_week_loads_set_booked_against_there(place, garment, now):
    make_task(garment, 1, "sew", 500)
    replan(workshop=place.workshop, now=now, seconds=1)

    first, second = queries.hours_booked(place.workshop, now, weeks=2)

    assert (first.from_on, first.booked, first.there) == (date(2025, 3, 24), 500, 2 * 5 * 480)
    assert (first.title, first.share, first.over) == ("Week of 24 March", 10, False)
    assert (second.from_on, second.booked, second.there) == (date(2025, 3, 31), 0, 2 * 5 * 480)


def test_today_tasks_shows_now_today_and_next(place, garment, now):
    today = make_task(garment, 1, "finish", 480)
    tomorrow = make_task(make_garment(place.workshop, due_on=date(2025, 5, 1)), 1, "finish", 60)
    make_task(make_garment(place.workshop), 1, "sew", 60)
    replan(workshop=place.workshop, now=now, seconds=2)

    def shown():
        return (
            queries.running_task(place.bo),
            queries.today_tasks(place.bo, now),
            queries.next_tasks(place.bo, now),
        )

    assert shown() == (None, [today], [tomorrow])
    start_task(task=tomorrow, staff=place.bo, now=now)
    assert shown() == (tomorrow, [today], [])
    finish_task(task=tomorrow, staff=place.bo, now=now + HOUR)
    assert shown() == (None, [today], [])
    assert Task.objects.get(pk=tomorrow.pk).done_at == now + HOUR


def test_replan_puts_alterations_before_what_waited_for_the_fitting(place, garment, now):
    finish = make_task(garment, 14, "finish", 60)
    alter = make_task(garment, 100, "alter", 60)

    replan(workshop=place.workshop, now=now, seconds=2)

    assert planned(alter)[2] <= planned(finish)[1]
    assert queries.days_in_hand(garment, now).next_task == alter


def test_replan_says_what_moved_and_why(place, garment, now):
    later = make_task(garment, 1, "sew", 480)
    replan(workshop=place.workshop, now=now, seconds=1)
    assert planned(later) == ("Ada", utc(24, 9), utc(24, 18))
    sooner = make_task(
        make_garment(place.workshop, due_on=date(2025, 3, 25), title="Red coat"), 1, "sew", 480
    )

    made = replan(workshop=place.workshop, now=now, seconds=1)

    assert planned(sooner) == ("Ada", utc(24, 9), utc(24, 18))
    assert [move.words for move in made.moved] == [
        "'Sew' of Blue dress moved from Mon 24 Mar 09:00 to Tue 25 Mar 09:00, because Ada has 'Sew' of Red "
        "coat to do then."
    ]
    assert [row.words for entry in queries.last_moves(place.workshop, now) for row in entry.moved] == [
        move.words for move in made.moved
    ]


def test_replan_moves_only_what_an_absence_makes_move(place, garment, now):
    first = make_task(garment, 1, "sew", 480)
    second = make_task(make_garment(place.workshop, due_on=date(2025, 4, 5)), 1, "finish", 200)
    third = make_task(make_garment(place.workshop, due_on=date(2025, 4, 6)), 1, "sew", 480)
    replan(workshop=place.workshop, now=now, seconds=1)
    Closure.objects.create(
        workshop=place.workshop, staff=place.ada, from_on=date(2025, 3, 24), to_on=date(2025, 3, 24)
    )

    made = replan(workshop=place.workshop, now=now, seconds=1)

    assert [planned(task)[1] for task in (first, second, third)] == [utc(25, 9), utc(24, 9), utc(26, 9)]
    assert [move.words.split(", because ")[1] for move in made.moved] == [
        "Ada is not there then.",
        "Ada has 'Sew' of Blue dress to do then.",
    ]


def test_replan_keeps_its_plan_where_nothing_would_be_less_late(place, now):
    # Bo could do either first; what stands stays, though the later due goes first in it.
    late = make_task(make_garment(place.workshop, due_on=date(2025, 5, 20)), 1, "finish", 480)
    soon = make_task(make_garment(place.workshop, due_on=date(2025, 5, 1)), 1, "finish", 480)
    for task, at in ((late, utc(24, 9)), (soon, utc(25, 9))):
        Task.objects.filter(pk=task.pk).update(
            staff=place.bo, planned_start_at=at, planned_end_at=at + 9 * HOUR
        )

    made = replan(workshop=place.workshop, now=now, seconds=1)

    assert made.moved == ()
    assert (planned(late)[1], planned(soon)[1]) == (utc(24, 9), utc(25, 9))


def test_replan_lets_two_wait_for_the_one_machine(place, garment, now):
    Staff.objects.filter(pk=place.bo.pk).update(skills=["press"])
    place.workshop.machines.create(name="steam table", groups=["press"])
    one = make_task(garment, 1, "press", 120)
    other = make_task(make_garment(place.workshop), 1, "press", 120)

    replan(workshop=place.workshop, now=now, seconds=1)

    assert sorted([planned(one)[1:], planned(other)[1:]]) == [
        (utc(24, 9), utc(24, 11)),
        (utc(24, 11), utc(24, 13)),
    ]


def test_replan_has_a_garment_ready_when_its_fitting_is(place, garment, now):
    Fitting.objects.create(
        workshop=place.workshop,
        garment=garment,
        fitter=place.bo,
        starts_at=utc(25, 9),
        ends_at=utc(25, 10),
        created_at=now,
    )
    urgent = make_task(make_garment(place.workshop, due_on=date(2025, 3, 26)), 1, "sew", 480)
    basted = make_task(garment, 3, "sew", 480)
    make_task(garment, 14, "finish", 60, after_fitting=True)

    replan(workshop=place.workshop, now=now, seconds=1)

    # Due in April only, but somebody comes to try it on.
    assert planned(basted) == ("Ada", utc(24, 9), utc(24, 18))
    assert planned(urgent)[1] == utc(25, 9)


def test_replan_leaves_days_between_for_a_fitting_that_is_not_booked(place, garment, now):
    before = make_task(garment, 3, "sew", 60)
    after = make_task(garment, 14, "finish", 60, after_fitting=True)

    replan(workshop=place.workshop, now=now, seconds=1)

    assert planned(before)[2] == utc(24, 10)
    assert planned(after)[1] == utc(27, 10)


def test_replan_plans_what_nobody_agreed_to_around_the_rest(place, now):
    asked = make_garment(place.workshop, due_on=date(2025, 3, 25), stage="draft", title="Asked for")
    drafted = make_task(asked, 1, "sew", 480)
    agreed = make_task(make_garment(place.workshop, due_on=date(2025, 4, 20)), 1, "sew", 480)

    replan(workshop=place.workshop, now=now, seconds=1)

    # It is due sooner, and would be first were it agreed.
    assert planned(agreed)[1] == utc(24, 9)
    assert planned(drafted)[1] == utc(25, 9)
    assert queries.tentative_garments(place.workshop, now) == {asked.pk}
