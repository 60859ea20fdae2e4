"""The apprentice's pages: now and next, cutting, the sewing order, the timer."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.workshop import factories
from tests.workshop.factories import NOW
from tests.workshop.orders import house as built
from tests.workshop.surfaces import sign_in, told, words
from workshop.bench.views import IRON, NEEDLE, SHEARS
from workshop.orders.models import CuttingLine
from workshop.planning.models import Task, TimeEntry


def page(name: str, *args: object) -> str:
    return reverse(f"bench:{name}", args=args)


@pytest.fixture
def apprentice(house) -> Client:
    return sign_in(house.apprentice)


@pytest.fixture
def garment(house):
    """A grey dress that waits to be cut."""
    return factories.garment_to_cut(house, factories.take_order(house, occasion="the Quist wedding"))


@pytest.fixture
def sewn(house):
    """A grey dress that is cut and goes to be sewn."""
    return factories.garment_to_sew(house)


# Who may see it


@pytest.mark.parametrize("name", ["now", "cutting"])
def test_a_visitor_is_asked_to_sign_in(db, name):
    response = Client().get(page(name))

    assert (response.status_code, response.headers["Location"]) == (302, f"/sign-in/?next={page(name)}")


def test_nothing_of_another_workshop_is_there(house, next_door):
    garment = factories.garment_to_cut(next_door)
    line, task = CuttingLine.objects.first(), Task.objects.first()
    here = sign_in(house.owner)

    asked = [here.get(page("cut", garment.pk)), here.get(page("garment", garment.pk))]
    asked += [here.post(page("cut-done", garment.pk)), here.post(page("tick", line.pk))]
    asked += [here.post(page(name, task.pk)) for name in ("start", "stop", "finish")]

    assert [response.status_code for response in asked] == [404] * 7
    assert "Grey dress" not in words(here.get(page("now"))) + words(here.get(page("cutting")))
    assert CuttingLine.objects.filter(cut_at=None).count() == CuttingLine.objects.count()


@pytest.mark.parametrize("name", ["cut-done", "tick", "start", "stop", "finish"])
def test_a_change_is_sent_not_opened(apprentice, name):
    answer = apprentice.get(page(name, 1))

    assert answer.status_code == 405
    assert "Nothing to open A button sends to this address" in words(answer)


def test_the_bench_shows_initials_and_no_name_or_price(apprentice, garment):
    shown = [apprentice.get(page(name)) for name in ("now", "cutting")]
    shown += [apprentice.get(page(name, garment.pk)) for name in ("cut", "garment")]
    text = " ".join(words(response) for response in shown)

    assert "For MQ, due Thursday 30 April." in text
    price = f"{garment.order.quotes.get().payable:.0f}"
    assert [word for word in ("Marta", "Quist", "EUR", price) if word in text] == []


def test_an_apprentice_opens_pattern_files_but_no_paper(house, apprentice, garment, run_jobs):
    run_jobs()
    order = garment.order
    paper = order.documents.get(kind="invoice").document_id

    assert apprentice.get(reverse("document", args=[paper])).status_code == 404
    shown = sign_in(house.owner).get(reverse("document", args=[paper]))
    assert b"".join(shown.streaming_content).startswith(b"%PDF-")


# Now and next


@pytest.mark.parametrize(
    ("hour", "greeting"),
    [(0, "morning"), (11, "morning"), (12, "afternoon"), (17, "afternoon"), (18, "evening")],
)
def test_show_now_greets_by_the_workshops_clock(house, clock, hour, greeting):
    # In July the clock of Lisbon is an hour before UTC.
    clock.move_to(NOW.replace(month=7, hour=hour) - timedelta(hours=1))

    assert f"Good {greeting}, Ilse" in words(sign_in(house.apprentice).get(page("now")))


def test_show_now_lists_the_persons_own_tasks_in_order(house, apprentice, garment):
    shown = apprentice.get(page("now")).context
    titles = [row.title for row in (*shown["today"], *shown["next"])]

    planned = Task.objects.filter(staff=house.apprentice).order_by("planned_start_at")
    assert titles == [task.title for task in planned]
    assert titles == [
        "Prepare",
        "Sew before the fitting",
        "Sew after the fitting",
        "Finish after the fitting",
    ]


def test_show_now_shows_all_of_today_then_three_of_what_is_next(house, apprentice, garment, clock):
    tasks = list(Task.objects.filter(staff=house.apprentice).order_by("position"))
    first = tasks[0]
    for number in range(6):
        Task.objects.create(
            workshop=house.workshop,
            garment=garment,
            position=50 + number,
            group="sew",
            title=f"Alter {number}",
            minutes_planned=10,
            staff=house.apprentice,
            planned_start_at=first.planned_start_at + timedelta(days=0 if number < 2 else 90 + number),
        )
    Task.objects.filter(pk__in=[task.pk for task in tasks[1:]]).update(staff=house.owner)

    shown = apprentice.get(page("now")).context

    assert [row.title for row in shown["today"]] == ["Prepare", "Alter 0", "Alter 1"]
    assert [row.title for row in shown["next"]] == ["Alter 2", "Alter 3", "Alter 4"]


def test_show_now_lets_begin_what_the_garments_stage_allows(apprentice, garment):
    shown = apprentice.get(page("now")).context
    rows = [*shown["today"], *shown["next"]]

    assert [(row.title, row.can_start) for row in rows][:2] == [
        ("Prepare", True),
        ("Sew before the fitting", False),
    ]
    assert rows[1].waits_for == "still at cut"


def test_show_now_says_what_the_person_cuts_and_nothing_of_others(house, apprentice, garment):
    """The owner cuts it, by the plan; then it is given to the apprentice."""
    lines = CuttingLine.objects.count()
    assert apprentice.get(page("now")).context["to_cut"] == []
    assert apprentice.get(page("cutting")).context["to_cut"] == []
    assert len(sign_in(house.owner).get(page("cutting")).context["to_cut"]) == 1
    Task.objects.filter(group="cut").update(staff=house.apprentice)

    assert f"Grey dress due Thursday 30 April; 0 of {lines} ticked Cut Grey dress" in words(
        apprentice.get(page("now"))
    )


def test_show_now_says_so_when_nothing_is_planned(apprentice):
    assert "Nothing is planned for you today. Ask the owner what is next." in words(
        apprentice.get(page("now"))
    )


@pytest.mark.parametrize("name", ["now", "cutting"])
def test_lists_ask_the_database_as_often_for_three_rows(house, name):
    here, counted = sign_in(house.apprentice), []
    for _ in range(3):
        factories.garment_to_cut(house)
        Task.objects.filter(group="cut").update(staff=house.apprentice, done_at=NOW)
        with CaptureQueriesContext(connection) as asked:
            response = here.get(page(name))
        counted.append((len(response.context["to_cut"]), len(asked)))

    assert [rows for rows, _ in counted] == [1, 2, 3]
    assert counted[0][1] == counted[2][1]


# The timer


@pytest.fixture
def task(house, sewn) -> Task:
    return Task.objects.get(title="Sew before the fitting")


def test_start_task_runs_the_clock(house, apprentice, task, clock):
    response = apprentice.post(page("start", task.pk))
    clock.move_to(NOW + timedelta(minutes=30))
    running = apprentice.get(page("now")).context["running"]

    assert (response.status_code, response.headers["Location"]) == (302, page("now"))
    assert (running["title"], running["since"], running["minutes_spent"]) == (task.title, NOW, 0)


def test_start_task_twice_runs_one_clock(apprentice, task):
    for _ in range(2):
        assert told(apprentice.post(page("start", task.pk))) == []

    assert TimeEntry.objects.count() == 1


def test_start_task_of_another_one_is_refused_in_words(apprentice, task):
    other = Task.objects.get(title="Finish after the fitting")
    apprentice.post(page("start", task.pk))

    response = apprentice.post(page("start", other.pk))

    assert told(response) == ["Your timer runs on 'Sew before the fitting'; stop it first."]
    assert TimeEntry.objects.get().task == task


def test_stop_task_keeps_the_time_for_the_next_turn(apprentice, task, clock):
    apprentice.post(page("start", task.pk))
    clock.move_to(NOW + timedelta(minutes=45))
    apprentice.post(page("stop", task.pk))
    apprentice.post(page("start", task.pk))

    task.refresh_from_db()
    assert task.done_at is None
    assert apprentice.get(page("now")).context["running"]["minutes_spent"] == 45


def test_finish_task_ends_it(apprentice, task, clock):
    apprentice.post(page("start", task.pk))
    clock.move_to(NOW + timedelta(hours=2))

    response = apprentice.post(page("finish", task.pk))

    task.refresh_from_db()
    assert told(response) == ["Sew before the fitting is done."]
    assert task.done_at == NOW + timedelta(hours=2)
    assert apprentice.get(page("now")).context["running"] is None


def test_finish_task_twice_is_told(apprentice, task):
    apprentice.post(page("start", task.pk))
    apprentice.post(page("finish", task.pk))

    assert told(apprentice.post(page("finish", task.pk)))[-1] == (
        "Your timer does not run on 'Sew before the fitting'; it may have been stopped already."
    )


def test_a_running_task_shows_the_cautions_of_its_tools(apprentice, task):
    apprentice.post(page("start", task.pk))

    assert apprentice.get(page("now")).context["running"]["cautions"][:2] == (NEEDLE, IRON)


# Cutting


def test_show_cut_lists_every_line_under_its_cloth(apprentice, garment):
    response = apprentice.get(page("cut", garment.pk))
    groups = response.context["groups"]

    assert [group["cloth_title"] for group in groups] == ["Shell: Grey satin", "Interfacing: Light fusible"]
    assert [line.pk for group in groups for line in group["lines"]] == list(
        CuttingLine.objects.order_by("position").values_list("pk", flat=True)
    )
    assert SHEARS in words(response)
    assert len(response.context["lays"]) == 2
    assert response.content.count(b"<svg") >= 2


def test_show_cut_offers_the_pattern_files(apprentice, garment, run_jobs):
    draft = garment.drafts.get()
    built.orders.request_files(draft=draft, by=None, now=NOW)
    run_jobs()

    files = apprentice.get(page("cut", garment.pk)).context["files"]

    assert [file.kind for file in files] == list(
        draft.documents.filter(kind__startswith="pattern").order_by("pk").values_list("kind", flat=True)
    )
    assert len(files) == 8
    sheet = apprentice.get(reverse("document", args=[files[0].document_id]))
    assert b"".join(sheet.streaming_content).startswith(b"%PDF-")


def test_show_cut_of_an_undrafted_garment_says_so(house, apprentice):
    garment = built.garment_of(factories.take_order(house))

    response = apprentice.get(page("cut", garment.pk), follow=True)

    assert response.redirect_chain == [(page("garment", garment.pk), 302)]
    assert "Grey dress is not drafted yet; ask the owner what to cut." in words(response)


def test_tick_line_notes_who_cut_it(house, apprentice, garment):
    line = CuttingLine.objects.first()

    response = apprentice.post(page("tick", line.pk))

    line.refresh_from_db()
    assert response.headers["Location"] == page("cut", garment.pk)
    assert (line.cut_by, line.cut_at) == (house.apprentice, NOW)


def test_tick_line_is_taken_back(apprentice, garment):
    line = CuttingLine.objects.first()
    apprentice.post(page("tick", line.pk))
    apprentice.post(page("tick", line.pk), {"undo": "1"})

    line.refresh_from_db()
    assert (line.cut_by, line.cut_at) == (None, None)


def test_tick_line_is_refused_before_cutting(house, apprentice):
    factories.drafted_garment(house)
    line = CuttingLine.objects.first()

    response = apprentice.post(page("tick", line.pk))

    line.refresh_from_db()
    assert told(response) == ["Grey dress is at draft; nothing is cut now."]
    assert line.cut_at is None


def test_cut_done_moves_on_to_sewing(house, apprentice, garment):
    built.tick_all(house, garment)

    response = apprentice.post(page("cut-done", garment.pk))

    garment.refresh_from_db()
    assert (garment.stage, response.headers["Location"]) == ("sew", page("garment", garment.pk))
    assert told(response) == ["Grey dress goes on to sewing."]


def test_cut_done_twice_is_told(house, apprentice, garment):
    built.tick_all(house, garment)
    apprentice.post(page("cut-done", garment.pk))

    response = apprentice.post(page("cut-done", garment.pk))

    garment.refresh_from_db()
    assert told(response)[-1] == "Grey dress is at sew already."
    assert garment.stage == "sew"


def test_cut_done_waits_for_every_line(apprentice, garment):
    lines = CuttingLine.objects.count()
    apprentice.post(page("tick", CuttingLine.objects.first().pk))

    response = apprentice.post(page("cut-done", garment.pk))

    garment.refresh_from_db()
    assert response.headers["Location"] == page("cut", garment.pk)
    assert told(response) == [
        f"Grey dress cannot go to sew yet. {lines - 1} of {lines} lines of the cutting list are not cut yet."
    ]
    assert garment.stage == "cut"


# The sewing order


def test_show_garment_numbers_the_operations_through(apprentice, sewn):
    response = apprentice.get(page("garment", sewn.pk))
    rows = response.context["tasks"]
    counts = [len(row["task"].operations) for row in rows]

    assert [row["task"].position for row in rows] == [1, 2, 3, 13, 14]
    assert [row["first_number"] for row in rows] == [1 + sum(counts[:place]) for place in range(5)]
    assert response.content.count(b"<li>") >= sum(counts)


def test_show_garment_shows_the_cautions_of_the_draft_and_the_tools(apprentice, sewn):
    response = apprentice.get(page("garment", sewn.pk))

    assert NEEDLE in words(response)
    assert IRON in words(response)
    assert [caution for caution in response.context["cautions"] if caution not in words(response)] == []


def test_show_garment_puts_an_alteration_before_what_waits_for_the_fitting(apprentice, sewn):
    Task.objects.create(
        workshop=sewn.workshop,
        garment=sewn,
        position=100,
        group="alter",
        title="Take in the side",
        minutes_planned=20,
    )

    titles = [row["task"].title for row in apprentice.get(page("garment", sewn.pk)).context["tasks"]]

    assert titles[3:] == ["Take in the side", "Sew after the fitting", "Finish after the fitting"]


def test_show_garment_of_an_undrafted_one_says_when_its_order_comes(house, apprentice):
    garment = built.garment_of(factories.take_order(house))

    assert "The order is made once the quote is accepted." in words(
        apprentice.get(page("garment", garment.pk))
    )
