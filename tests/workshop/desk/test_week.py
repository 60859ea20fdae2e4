"""The week: moved by choosing, told what moved, what is not agreed, and the search stopped."""

from __future__ import annotations

import re
import uuid
from datetime import datetime, time, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from tests.workshop.desk import made
from tests.workshop.surfaces import told, words
from workshop import jobs
from workshop.desk.week_picture import DAY_WIDE, HEAD_HIGH, NAMES_WIDE, ROW_HIGH, _lines
from workshop.jobs.models import Job
from workshop.orders.models import Stage
from workshop.orders.services.asking import PLAN_JOB, PLAN_KEY
from workshop.planning import queries
from workshop.planning.models import Task
from workshop.planning.services import replan

MOVE, RELEASE, WEEK = "desk:move-task", "desk:release-task", "desk:week"


@pytest.fixture
def task(house):
    """Sewing on a garment that is agreed, planned for today."""
    garment = made.garment(house)
    type(garment).objects.filter(pk=garment.pk).update(stage=Stage.SEW)
    made_of = Task.objects.create(
        workshop=house.workshop,
        garment=garment,
        position=3,
        group="sew",
        title="Sew",
        minutes_planned=120,
    )
    replan(workshop=house.workshop, now=timezone.now(), seconds=0.2)
    made_of.refresh_from_db()
    return made_of


def next_monday(house):
    today = house.workshop.day_of(timezone.now())
    return today + timedelta(days=7 - today.weekday())


def test_a_task_is_moved_by_choosing(owner, house, task):
    day = next_monday(house)
    answer = owner.post(reverse(MOVE, args=[task.pk]), {"staff": house.owner.pk, "starts_at": f"{day}T10:30"})
    task.refresh_from_db()

    assert (answer.status_code, answer.url) == (302, reverse(WEEK))
    local = task.planned_start_at.astimezone(house.workshop.zone)
    assert (task.pinned, task.staff, local.date(), local.hour, local.minute) == (
        True,
        house.owner,
        day,
        10,
        30,
    )
    page = words(owner.get(reverse(WEEK), {"from": str(day)}))
    assert "put there" in page

    owner.post(reverse(RELEASE, args=[task.pk]))
    task.refresh_from_db()
    assert task.pinned is False


def test_a_time_that_has_passed_is_refused_at_its_field(owner, house, task):
    answer = owner.post(
        reverse(MOVE, args=[task.pk]), {"staff": house.owner.pk, "starts_at": "2020-01-06T10:30"}
    )

    assert answer.status_code == 200
    assert "That time has passed; choose a later one." in words(answer)


def test_what_a_plan_moved_is_told_on_the_page(owner, house, task):
    now = timezone.now()
    Task.objects.filter(pk=task.pk).update(
        planned_start_at=now + timedelta(days=21), planned_end_at=now + timedelta(days=21, hours=2)
    )
    Task.objects.filter(pk=task.pk).update(staff=None)
    assert "Nothing in the last three days." in words(owner.get(reverse(WEEK)))
    Task.objects.filter(pk=task.pk).update(staff=house.owner, planned_start_at=now - timedelta(days=1))

    replan(workshop=house.workshop, now=now, seconds=0.2)

    assert "because it was not begun in its time." in words(owner.get(reverse(WEEK)))


def test_what_is_not_agreed_is_marked_and_takes_no_hours(owner, house, task):
    type(task.garment).objects.filter(pk=task.garment_id).update(stage=Stage.DRAFT)
    now = timezone.now()

    page = words(owner.get(reverse(WEEK), {"from": str(house.workshop.day_of(task.planned_start_at))}))
    tentative = queries.tentative_garments(house.workshop, now)
    weeks = queries.hours_booked(house.workshop, now, tentative=tentative)

    assert "not agreed yet" in page
    assert (sum(week.booked for week in weeks), sum(week.asked for week in weeks)) == (0, 120)


def test_the_search_for_a_plan_can_be_stopped(owner, house):
    Job.objects.all().delete()
    jobs.request(kind=PLAN_JOB, key=PLAN_KEY, workshop=house.workshop, again=True)
    assert "Stop planning" in words(owner.get(reverse(WEEK)))

    answer = owner.post(reverse("desk:cancel-plan"), follow=True)

    assert Job.objects.get().state == "cancelled"
    assert "Stop planning" not in words(answer)
    assert told(owner.post(reverse("desk:cancel-plan"))) == ["No plan is being made now."]


def test_a_narrow_box_keeps_whole_words_and_leads_to_its_garment(owner, house, task):
    assert _lines("confirmation dress", 13, 1) == ["confirmation…"]
    assert _lines("bridesmaid's dress, Nell", 13, 1) == ["bridesmaid's…"]
    assert _lines("bridesmaid's dress, Nell", 13, 2) == ["bridesmaid's", "dress, Nell"]
    assert _lines("embroidered", 6, 1) == ["embro…"]

    day = house.workshop.day_of(task.planned_start_at)
    page = owner.get(reverse(WEEK), {"from": str(day)}).text

    assert f'<a href="{reverse("desk:garment", args=[task.garment_id])}" aria-label="Grey dress: Sew' in page


def test_machines_are_noted_changed_and_taken_off(owner, house):
    page = reverse("desk:machines")
    sent = {"name": "overlocker", "count": "1", "groups": ["sew", "finish"], "submission": uuid.uuid4()}
    assert owner.post(page, sent).status_code == 302
    machine = house.workshop.machines.get()

    change = {"name": "overlocker", "count": "2", "groups": ["finish"], "expected_version": "1"}
    owner.post(reverse("desk:machine", args=[machine.pk]), change)
    machine.refresh_from_db()
    assert (machine.count, machine.groups) == (2, ["finish"])

    owner.post(reverse("desk:drop-machine", args=[machine.pk]))
    assert "None: people wait for no machine." in words(owner.get(page))


def test_the_picture_and_the_words_show_what_holds_each_machine(owner, house, task):
    """Two that overlap hold two of a kind; a third that is pinned over them is said to be one too many."""
    house.workshop.machines.create(name="steam table", count=2, groups=["press"])
    start = timezone.make_aware(datetime.combine(next_monday(house), time(10)), house.workshop.zone)
    for number, (begins, ends) in enumerate(((0, 2), (1, 3), (2, 4))):
        Task.objects.create(
            workshop=house.workshop,
            garment=task.garment,
            position=20 + number,
            group="press",
            title=f"Press {number}",
            minutes_planned=120,
            staff=house.owner,
            planned_start_at=start + timedelta(hours=begins),
            planned_end_at=start + timedelta(hours=ends),
        )

    page = owner.get(reverse(WEEK), {"from": str(next_monday(house))})

    rows = {use.name: [held.title for held in use.tasks] for use in page.context["machines"]}
    assert rows == {"steam table 1": ["Press 0", "Press 2"], "steam table 2": ["Press 1"]}
    picture = page.context["picture"]
    said = f'aria-label="{task.garment.title}: Press 1, {house.owner.name}"'
    [box] = re.findall(rf'{said}><title>[^<]*</title><rect x="([\d.]+)" y="(\d+)" width="([\d.]+)"', picture)
    # Open from 9 to 17: an hour is an eighth of a day; two people above, then the second table.
    assert [float(figure) for figure in box] == [
        pytest.approx(NAMES_WIDE + 2 / 8 * DAY_WIDE, abs=0.1),
        HEAD_HIGH + 3 * ROW_HIGH + 8,
        pytest.approx(2 / 8 * DAY_WIDE, abs=0.1),
    ]
    assert "Steam table 2 Mon 11:00 to Mon 13:00 Grey dress , Press 1, Fenna" in words(page)

    Task.objects.filter(title="Press 2").update(planned_start_at=start)
    page = owner.get(reverse(WEEK), {"from": str(next_monday(house))})
    assert [use.name for use in page.context["machines"]][2:] == ["steam table 3, which is not there"]
