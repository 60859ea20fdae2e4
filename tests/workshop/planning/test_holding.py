from __future__ import annotations

from datetime import timedelta

import pytest

from tests.workshop.planning.conftest import NOW, make_garment, make_task
from workshop.errors import Refusal
from workshop.orders.models import Stage
from workshop.people.models import LogEntry
from workshop.planning.models import Fitting, Task
from workshop.planning.services import Alteration, book_fitting, cancel_fitting, hold_fitting
from workshop.planning.services.fittings import FittingClosed

TAKE_IN = Alteration("side seam in by 1/2 in", 40)
THEN = NOW + timedelta(hours=3)


@pytest.fixture
def fitting(place):
    garment = make_garment(place.workshop, stage=Stage.FIT)
    make_task(garment, 14, "finish", 60)
    return book_fitting(garment=garment, starts_at=NOW + timedelta(hours=2), now=NOW, by=place.ada)


def test_hold_fitting_that_fits_leaves_the_garment_where_it_is(place, fitting):
    made = hold_fitting(fitting=fitting, outcome="fits", by=place.ada, now=THEN, notes="Lovely.")

    fitting.refresh_from_db()
    fitting.garment.refresh_from_db()
    fitting.garment.wearer.refresh_from_db()
    assert made == []
    assert (fitting.held_at, fitting.outcome, fitting.notes) == (THEN, "fits", "Lovely.")
    assert fitting.garment.stage == Stage.FIT
    assert fitting.garment.wearer.fit_notes == "2025-03-24, Blue dress: Lovely."
    assert "Lovely" not in str(list(LogEntry.objects.values()))


def test_hold_fitting_with_an_alteration_makes_its_task_and_sends_back_to_sew(place, fitting):
    hem = Alteration("hem up by 1 in", 50)

    made = hold_fitting(
        fitting=fitting, outcome="alteration", by=place.ada, now=THEN, alterations=[TAKE_IN, hem]
    )

    fitting.garment.refresh_from_db()
    assert [(task.position, task.group, task.title, task.minutes_planned) for task in made] == [
        (100, "alter", "Alter: side seam in by 1/2 in", 40),
        (101, "alter", "Alter: hem up by 1 in", 50),
    ]
    assert fitting.garment.stage == Stage.SEW
    assert LogEntry.objects.get(action="move garment").summary == (
        "Moved Blue dress from fit to sew: Fitting: to be altered"
    )


def test_hold_fitting_with_a_recut_sends_back_to_cut(place, fitting):
    (task,) = hold_fitting(
        fitting=fitting, outcome="recut", by=place.ada, now=THEN, alterations=[Alteration("left front", 30)]
    )

    fitting.garment.refresh_from_db()
    assert (task.group, task.title) == ("cut", "Cut again: left front")
    assert fitting.garment.stage == Stage.CUT


@pytest.mark.parametrize("stage", [Stage.FIT, Stage.SEW])
def test_hold_fitting_of_a_changed_body_sends_back_to_measure(stage, place, fitting):
    type(fitting.garment).objects.filter(pk=fitting.garment_id).update(stage=stage)

    hold_fitting(fitting=fitting, outcome="remeasure", by=place.ada, now=THEN)

    fitting.garment.refresh_from_db()
    assert fitting.garment.stage == Stage.MEASURE


@pytest.mark.parametrize(
    ("outcome", "alterations", "field"),
    [
        ("splendid", [], "outcome"),
        ("alteration", [], "alterations"),
        ("fits", [TAKE_IN], "outcome"),
        ("alteration", [Alteration(" ", 40)], "alterations"),
        ("alteration", [Alteration("hem", 0)], "alterations"),
        ("alteration", [Alteration("hem", 6001)], "alterations"),
    ],
)
def test_hold_fitting_refuses_what_says_nothing(outcome, alterations, field, place, fitting):
    with pytest.raises(Refusal) as refusal:
        hold_fitting(fitting=fitting, outcome=outcome, by=place.ada, now=THEN, alterations=alterations)

    assert refusal.value.field == field
    assert Fitting.objects.get().held_at is None
    assert Task.objects.count() == 1


def test_hold_fitting_refuses_twice_too_early_or_cancelled(place, fitting):
    with pytest.raises(FittingClosed, match="That fitting is on Monday 24 March"):
        hold_fitting(fitting=fitting, outcome="fits", by=place.ada, now=NOW - timedelta(days=1))
    hold_fitting(fitting=fitting, outcome="fits", by=place.ada, now=THEN)
    with pytest.raises(FittingClosed, match="held already"):
        hold_fitting(fitting=fitting, outcome="fits", by=place.ada, now=THEN)

    other = book_fitting(
        garment=make_garment(place.workshop), starts_at=THEN + timedelta(days=1), now=NOW, by=place.ada
    )
    cancel_fitting(fitting=other, now=NOW, by=place.ada)
    with pytest.raises(FittingClosed, match="was cancelled"):
        hold_fitting(fitting=other, outcome="fits", by=place.ada, now=THEN + timedelta(days=1))
