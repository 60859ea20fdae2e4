from __future__ import annotations

from datetime import timedelta

import pytest

from tests.workshop.planning.conftest import NOW, make_garment, make_task
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders.models import Stage
from workshop.people.models import LogEntry, MeasurementSet
from workshop.people.services import UnansweredQuestions, erase_wearer, record_measurements
from workshop.planning.models import Fitting, Task
from workshop.planning.rules.alterations import Change
from workshop.planning.services import Alteration, BadFinding, book_fitting, cancel_fitting, hold_fitting
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


def hold(place, fitting, *changes, **details):
    return hold_fitting(
        **{
            "fitting": fitting,
            "outcome": "alteration",
            "by": place.ada,
            "now": THEN,
            "changes": changes,
            **details,
        }
    )


def test_hold_fitting_by_place_makes_a_task_with_its_steps(place, fitting):
    made = hold(
        place,
        fitting,
        Change("side_seam", "in", 12.7, "both", typed="1/2 in"),
        Change("hem", "up", 25.4, minutes=30),
    )

    fitting.refresh_from_db()
    assert [(task.group, task.title, task.minutes_planned) for task in made] == [
        ("alter", "Alter: side seam in by 1.3 cm, both sides", 68),
        ("alter", "Alter: hem up by 2.5 cm", 30),
    ]
    assert [step["name"] for step in made[0].operations][:2] == [
        "Mark the new line and pin or baste it",
        "Open hem, facing or lining where the seam meets it",
    ]
    assert sum(step["minutes"] for step in made[1].operations) == pytest.approx(30, abs=0.05)
    kept = fitting.changes.order_by("position")
    assert [(row.place, row.way, row.side, row.amount_mm, row.typed, row.task_id) for row in kept] == [
        ("side_seam", "in", "both", 12.7, "1/2 in", made[0].pk),
        ("hem", "up", "", 25.4, "", made[1].pk),
    ]
    assert fitting.garment.stage == Stage.SEW
    assert Job.objects.get(kind="refresh_plan").key == "plan"


def test_hold_fitting_is_signed_off_by_name_and_time(place, fitting):
    hold(place, fitting, Change("hem", "up", 25.4), signed_by="Clara, for herself")

    fitting.refresh_from_db()
    assert (fitting.signed_by, fitting.held_at) == ("Clara, for herself", THEN)


def test_hold_fitting_is_signed_off_by_who_holds_it_where_nobody_is_named(place, fitting):
    hold(place, fitting, outcome="fits")

    fitting.refresh_from_db()
    assert fitting.signed_by == "Ada"


def test_hold_fitting_leaves_fit_notes_as_amounts_and_in_words(place, fitting):
    wearer = fitting.garment.wearer
    wearer.fit = {"front_length": 10.0}
    wearer.save(update_fields=["fit"])

    hold(
        place,
        fitting,
        Change("front_length", "longer", 15.0),
        Change("shoulder", "up", 10.0, "left"),
        Change("small_of_back", "shorter", 12.0, in_figure=False),
        Change("side_seam", "in", 12.7, "both"),
        notes="Likes it close.",
        alterations=[Alteration("loosen the cuff", 10)],
    )

    wearer.refresh_from_db()
    assert wearer.fit == {"front_length": 25.0, "left_shoulder_lower": 10.0}
    assert wearer.fit_notes == (
        "2025-03-24, Blue dress: front over the bust longer by 1.5 cm; "
        "shoulder at the armhole up by 1.0 cm, left; "
        "small of the back shorter by 1.2 cm; side seam in by 1.3 cm, both sides; loosen the cuff. "
        "Likes it close."
    )
    assert wearer.version == 2
    assert [row.fit_note for row in fitting.changes.order_by("position")] == [
        "Front over the bust +1.5 cm",
        "Left shoulder lower than the right +1.0 cm",
        "",
        "",
        "",
    ]


def test_hold_fitting_leaves_what_is_beyond_a_fit_note_to_the_owner(place, fitting):
    wearer = fitting.garment.wearer
    wearer.fit = {"front_length": 50.0}
    wearer.save(update_fields=["fit"])

    hold(place, fitting, Change("front_length", "longer", 15.0))

    wearer.refresh_from_db()
    assert wearer.fit == {"front_length": 50.0}
    assert fitting.changes.get().fit_note == (
        "Front over the bust +1.5 cm: beyond what a draft takes; look at the fit notes"
    )


def test_hold_fitting_lets_the_oldest_words_go_where_there_is_no_room(place, fitting):
    wearer = fitting.garment.wearer
    wearer.fit_notes = "the oldest\n" + "x" * 3980
    wearer.save(update_fields=["fit_notes"])

    hold(place, fitting, outcome="fits", notes="The newest.")

    wearer.refresh_from_db()
    assert wearer.fit_notes == "2025-03-24, Blue dress: The newest."


@pytest.mark.parametrize(
    ("changes", "number", "part"),
    [
        ([Change("hem", "up", 25.4), Change("side_seam", "in", 12.7)], 1, "side"),
        ([Change("hem", "sideways", 25.4)], 0, "way"),
        ([Change("hem", "up", 401.0)], 0, "amount"),
        ([Change("hem", "up", 25.4), Change("hem", "up", 10.0)], 1, "place"),
    ],
)
def test_hold_fitting_names_the_change_at_fault_and_keeps_nothing(changes, number, part, place, fitting):
    with pytest.raises(BadFinding) as refusal:
        hold(place, fitting, *changes)

    fitting.refresh_from_db()
    assert (refusal.value.number, refusal.value.part) == (number, part)
    assert (fitting.held_at, fitting.changes.count(), Task.objects.count()) == (None, 0, 1)


def test_hold_fitting_speaks_of_limits_in_the_workshops_own_unit(place, fitting):
    type(place.workshop).objects.update(length_unit="in")

    with pytest.raises(BadFinding, match="at most 15 3/4 in"):
        hold(place, fitting, Change("hem", "up", 401.0))


def test_hold_fitting_with_changes_cannot_fit_and_a_recut_names_its_piece(place, fitting):
    for outcome, field in (("fits", "outcome"), ("remeasure", "outcome"), ("recut", "alterations")):
        with pytest.raises(Refusal) as refusal:
            hold(place, fitting, Change("hem", "up", 25.4), outcome=outcome)
        assert refusal.value.field == field


@pytest.fixture
def measured(place, fitting):
    wearer = fitting.garment.wearer
    typed = {"bust_girth": "92", "waist_girth": "74", "hip_girth": "99", "stature": "168"}
    found = record_measurements(
        wearer=wearer, unit="cm", typed=typed, taken_by=place.ada, taken_on=NOW.date(), now=NOW
    )
    type(fitting.garment).objects.filter(pk=fitting.garment_id).update(measurements=found)
    return found


def test_hold_fitting_keeps_new_measurements_beside_the_old_ones(place, fitting, measured):
    hold(place, fitting, outcome="fits", measures={"waist_girth": "70", "shoulder_length": "13,5"})

    new = MeasurementSet.objects.latest("pk")
    fitting.garment.refresh_from_db()
    assert new.values == {**measured.values, "waist_girth": 700.0, "shoulder_length": 135.0}
    assert (new.taken_by, new.typed["waist_girth"], new.typed["bust_girth"]) == (place.ada, "70", "92")
    assert (fitting.garment.measurements, fitting.garment.stage) == (measured, Stage.FIT)


def test_hold_fitting_of_a_changed_body_drafts_anew_from_new_measurements(place, fitting, measured):
    hold(place, fitting, outcome="remeasure", measures={"waist_girth": "78"})

    fitting.garment.refresh_from_db()
    assert fitting.garment.stage == Stage.DRAFT
    assert fitting.garment.measurements.values["waist_girth"] == 780.0


def test_hold_fitting_reads_old_measurements_in_another_unit(place, fitting, measured):
    type(place.workshop).objects.update(length_unit="in")
    fitting.refresh_from_db()

    hold(place, fitting, outcome="fits", measures={"waist_girth": "28"})

    new = MeasurementSet.objects.latest("pk")
    assert new.values["waist_girth"] == pytest.approx(711.2)
    assert new.values["bust_girth"] == 920.0


def test_hold_fitting_asks_about_an_unlikely_measure_and_keeps_nothing(place, fitting, measured):
    with pytest.raises(UnansweredQuestions) as asked:
        hold(place, fitting, outcome="fits", measures={"waist_girth": "120"})

    fitting.refresh_from_db()
    assert {question.field for question in asked.value.questions} == {"waist_girth"}
    assert (fitting.held_at, MeasurementSet.objects.count()) == (None, 1)

    hold(place, fitting, outcome="fits", measures={"waist_girth": "120"}, confirmed=["waist_girth"])
    assert MeasurementSet.objects.count() == 2


def test_hold_fitting_cannot_add_to_measurements_that_were_never_taken(place, fitting):
    with pytest.raises(Refusal, match="measure in full first"):
        hold(place, fitting, outcome="fits", measures={"waist_girth": "70"})


def test_erase_wearer_takes_what_fittings_found(place, fitting):
    hold(place, fitting, Change("hem", "up", 25.4), notes="Clara stoops.", signed_by="Clara")
    type(fitting.garment).objects.update(stage=Stage.DELIVERED)

    erase_wearer(wearer=fitting.garment.wearer, reason="asked", by=place.ada, now=THEN)

    fitting.refresh_from_db()
    assert (fitting.notes, fitting.signed_by, fitting.changes.count()) == ("", "", 0)
    assert fitting.held_at == THEN
