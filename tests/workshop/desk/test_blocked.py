"""The week's page tells what waits for what, and how full the weeks are in words."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests.workshop.desk import made
from workshop.orders.rules.blocks import Block, blocks
from workshop.orders.rules.stages import Facts
from workshop.planning.queries import WeekHours, blocked


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (Facts("draft", quote="sent"), (Block("an answer to the quote"),)),
        (Facts("draft", quote="sent", quote_expired=True), (Block("an answer to the quote, which ran out"),)),
        (Facts("draft", quote="accepted", deposit_needed=True), (Block("the deposit"),)),
        (Facts("draft", quote="accepted", deposit_needed=True, deposit_in=True), ()),
        (
            Facts("cut", cloth_lacking=("2 m of Satin", "1 m of Net")),
            (Block("cloth: 2 m of Satin, 1 m of Net"),),
        ),
        (Facts("sew", cloth_lacking=("2 m of Satin",)), ()),
        (Facts("fit", finishing_left=1), (Block("a fitting: none is booked", after_fitting=True),)),
        (
            Facts("sew", finishing_left=2, fitting_booked="Monday 3 May, 10:00"),
            (Block("the fitting on Monday 3 May, 10:00", after_fitting=True),),
        ),
        (Facts("fit", finishing_left=1, fits=True), ()),
        (Facts("draft", quote="sent", cancelled=True), ()),
    ],
)
def test_blocks_are_what_no_work_of_the_workshop_brings_on(facts, expected):
    assert blocks(facts) == expected


def test_the_week_tells_which_garment_waits_and_what_that_holds_back(house, owner):
    made.quoted(house)

    page = owner.get(reverse("desk:week"))

    waits = [row.waits_for for row in page.context["blocked"]]
    assert "an answer to the quote" in waits
    assert any(words.startswith("cloth: ") for words in waits)
    assert "waits for an answer to the quote." in page.text


def test_the_work_after_a_fitting_waits_for_it_and_no_other(house):
    garment = made.to_cut(house)
    garment.stage = "fit"
    garment.save(update_fields=["stage"])

    [row] = blocked(house.workshop, timezone.now())

    after = [task for task in garment.tasks.order_by("position") if task.after_fitting]
    assert row.waits_for == "a fitting: none is booked"
    assert row.tasks == tuple(task.title for task in after) != ()
    assert row.minutes == sum(task.minutes_planned for task in after)


def test_a_week_says_what_is_free_or_too_many():
    assert (WeekHours(date(2025, 3, 24), 100, 300).free, WeekHours(date(2025, 3, 24), 100, 300).beyond) == (
        200,
        0,
    )
    assert (WeekHours(date(2025, 3, 24), 300, 100).free, WeekHours(date(2025, 3, 24), 300, 100).beyond) == (
        0,
        200,
    )


def test_the_week_takes_as_many_queries_for_three_garments_as_for_one(house, owner):
    def queries() -> int:
        with CaptureQueriesContext(connection) as taken:
            owner.get(reverse("desk:week"))
        return len(taken)

    made.quoted(house)
    one = queries()
    for _ in range(2):
        made.quoted(house)

    assert queries() == one
