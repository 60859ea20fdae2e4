"""Measuring, drafting, moving and fitting on a garment's pages."""

from __future__ import annotations

import pytest
from django.urls import reverse

from tests.workshop.desk import made
from workshop.jobs.models import Job
from workshop.orders.models import Draft
from workshop.people.models import MeasurementSet
from workshop.planning.models import Fitting, Task

BODY = {"bust_girth": "92", "waist_girth": "74", "hip_girth": "99", "stature": "168"}


def sheet(house, **changes) -> dict[str, object]:
    return {"taken_on": made.timezone.localdate(timezone=house.workshop.zone), **BODY, **changes}


def measure(owner, garment, form):
    return owner.post(reverse("desk:measure", args=[garment.pk]), form)


def test_measure_keeps_what_was_typed_and_puts_the_garment_to_draft(house, owner):
    garment = made.garment(house)

    answer = measure(owner, garment, sheet(house, bust_girth="36 1/4 in"))

    garment.refresh_from_db()
    assert answer.url == reverse("desk:garment", args=[garment.pk])
    assert garment.measurements.values["bust_girth"] == pytest.approx(36.25 * 25.4, abs=1e-9)
    assert garment.measurements.typed["bust_girth"] == "36 1/4 in"
    assert garment.stage == "draft"


@pytest.mark.parametrize(
    "typed", ["-92", "0", "nan", "inf", "1e9", "92 ells", "999 m", "9" * 60, "x" * 61, "9\x002", "", "½½"]
)
def test_measure_refuses_at_the_field_and_keeps_nothing(typed, house, owner):
    garment = made.garment(house)

    answer = measure(owner, garment, sheet(house, bust_girth=typed, hip_girth="101"))

    assert answer.status_code == 200
    assert list(made.faults(answer)) == ["bust_girth"]
    assert answer.context["form"]["hip_girth"].value() == "101"
    assert MeasurementSet.objects.count() == 0


@pytest.mark.parametrize("day", ["", "2026-02-30", "9999-12-31", "tomorrow"])
def test_measure_refuses_a_day_that_cannot_be(day, house, owner):
    answer = measure(owner, made.garment(house), sheet(house, taken_on=day))

    assert list(made.faults(answer)) == ["taken_on"]
    assert MeasurementSet.objects.count() == 0


def test_measure_asks_about_what_is_unlikely_until_it_is_confirmed(house, owner):
    garment = made.garment(house)
    odd = sheet(house, waist_girth="120")

    asked = measure(owner, garment, odd)
    fields = [question.field for question in asked.context["form"].questions]
    kept = measure(owner, garment, {**odd, "confirmed": fields})

    assert fields
    assert "Please look again." in asked.text
    assert asked.context["form"]["waist_girth"].value() == "120"
    assert kept.status_code == 302
    garment.refresh_from_db()
    assert {row["field"] for row in garment.measurements.confirmed} == set(fields)


def test_measure_only_looked_at_keeps_nothing(house, owner):
    garment = made.garment(house)

    answer = measure(owner, garment, sheet(house, look="1"))

    estimates = {row.measurement.name: row.estimate for row in answer.context["rows"]}
    assert estimates["bust_girth"] == ""
    assert float(estimates["neck_base_girth"]) > 0
    assert MeasurementSet.objects.count() == 0


def test_draft_garment_asks_for_files_and_lays(house, owner):
    garment = made.measured(house)

    answer = owner.post(reverse("desk:draft-garment", args=[garment.pk]))
    page = owner.get(answer.url)

    assert made.told(answer) == []
    assert Draft.objects.get().garment == garment
    assert sorted(Job.objects.values_list("kind", flat=True)) == [
        "lay_plans",
        "pattern_files",
        "refresh_plan",
    ]
    assert page.context["files_job"].kind == "pattern_files"
    assert len(page.context["pieces"]) == len(page.context["pattern"].pieces)


def test_draft_garment_without_measurements_is_refused(house, owner):
    garment = made.garment(house)

    answer = owner.post(reverse("desk:draft-garment", args=[garment.pk]))

    assert made.told(answer) == [
        "Measure Marta Quist first, or let a size stand in; then the pattern can be drafted."
    ]
    assert Draft.objects.count() == 0


@pytest.mark.parametrize("name", ["make-files", "make-lays"])
def test_superseded_draft_gets_no_files(name, house, owner):
    draft = made.drafted(house)
    Draft.objects.update(superseded_at=made.timezone.now())
    Job.objects.all().delete()

    answer = owner.post(reverse(f"desk:{name}", args=[draft.pk]))

    assert made.told(answer) == ["This draft is superseded; use the one that holds now."]
    assert Job.objects.count() == 0


def test_waive_checks_where_all_passed_is_refused(house, owner):
    draft = made.drafted(house)

    answer = owner.post(reverse("desk:waive-checks", args=[draft.pk]), {"reason": "it will do"})

    assert made.told(answer) == ["All checks of this draft passed; there is nothing to waive."]


@pytest.mark.parametrize("reason", ["", "  ", "\x00"])
def test_waive_checks_needs_a_reason(reason, house, owner):
    draft = made.drafted(house)
    Draft.objects.update(passed=False, failed_checks=1)

    answer = owner.post(reverse("desk:waive-checks", args=[draft.pk]), {"reason": reason})

    draft.refresh_from_db()
    assert made.told(answer) == ["Enter why they are waived."]
    assert draft.waived_by is None


@pytest.mark.parametrize("to", ["", "nowhere", "sew", "a\x00b", "x" * 5000])
def test_move_garment_refuses_a_stage_that_is_not_next(to, house, owner):
    garment = made.measured(house)

    answer = owner.post(reverse("desk:move-garment", args=[garment.pk]), {"to": to, "reason": "so"})

    garment.refresh_from_db()
    assert len(made.told(answer)) == 1
    assert garment.stage == "draft"


def test_move_garment_back_needs_a_reason(house, owner):
    garment = made.to_cut(house)
    address = reverse("desk:move-garment", args=[garment.pk])

    without = owner.post(address, {"to": "draft"})
    given = owner.post(address, {"to": "draft", "reason": "the hem is wrong"})

    garment.refresh_from_db()
    assert made.told(without) == ["Say why it goes back; the next one who works on it reads it."]
    assert (made.told(given), garment.stage) == ([], "draft")


def test_book_fitting_takes_an_offered_time(house, owner):
    garment = made.to_cut(house)
    address = reverse("desk:book-fitting", args=[garment.pk])
    slot = owner.get(address).context["form"].fields["slot"].choices[1][0]

    answer = owner.post(address, {"slot": slot})

    assert made.told(answer) == ["Booked."]
    assert Fitting.objects.get().starts_at.isoformat() == slot


@pytest.mark.parametrize(
    ("form", "field"),
    [
        ({"sent": "1"}, "slot"),
        ({"slot": "2026-01-01T09:00:00+00:00"}, "slot"),
        ({"slot": "x\x00"}, "slot"),
        ({"other": "yesterday"}, "other"),
        ({"other": "9999-12-31T23:59"}, "other"),
        ({"other": "0001-01-01T00:00"}, "other"),
        ({"other": "2020-01-01T10:00"}, "__all__"),
        ({"other": "2900-01-01T10:00"}, "__all__"),
    ],
)
def test_book_fitting_refuses_a_time_that_cannot_be(form, field, house, owner):
    garment = made.to_cut(house)

    answer = owner.post(reverse("desk:book-fitting", args=[garment.pk]), form)

    assert answer.status_code == 200
    assert list(made.faults(answer)) == [field]
    assert Fitting.objects.count() == 0


def test_fitting_is_moved_held_and_then_closed(house, owner):
    garment = made.to_cut(house)
    fitting = made.book(house, garment)
    slot = (
        owner.get(reverse("desk:move-fitting", args=[fitting.pk])).context["form"].fields["slot"].choices[1]
    )

    moved = owner.post(reverse("desk:move-fitting", args=[fitting.pk]), {"slot": slot[0]})
    cancelled = owner.post(reverse("desk:cancel-fitting", args=[fitting.pk]))
    again = owner.post(reverse("desk:cancel-fitting", args=[fitting.pk]))

    fitting.refresh_from_db()
    assert made.told(moved) == ["Moved."]
    assert fitting.starts_at.isoformat() == slot[0]
    assert made.told(cancelled) == ["Cancelled; the time is free again. Tell the customer."]
    assert made.told(again) == ["That fitting was cancelled already; book a new one."]


@pytest.mark.parametrize(
    ("form", "field"),
    [
        ({"sent": "1"}, "outcome"),
        ({"outcome": "perfect"}, "outcome"),
        ({"outcome": "alteration", "what_1": "side seam in"}, "minutes_1"),
        ({"outcome": "alteration", "minutes_1": "20"}, "what_1"),
        ({"outcome": "alteration", "what_1": "hem", "minutes_1": "-5"}, "minutes_1"),
        ({"outcome": "alteration", "what_1": "hem", "minutes_1": "9" * 30}, "minutes_1"),
        ({"outcome": "fits", "notes": "x" * 2001}, "notes"),
        ({"outcome": "fits", "notes": "a\x00b"}, "notes"),
    ],
)
def test_hold_fitting_refuses_half_an_answer(form, field, house, owner):
    garment = made.to_cut(house)
    fitting = made.book(house, garment)
    before = Task.objects.count()

    answer = owner.post(reverse("desk:fitting", args=[fitting.pk]), form)

    fitting.refresh_from_db()
    assert list(made.faults(answer)) == [field]
    assert (fitting.held_at, Task.objects.count()) == (None, before)


def test_a_size_stands_in_and_the_page_says_so(house, owner):
    garment = made.garment(house)
    address = reverse("desk:garment", args=[garment.pk])

    owner.post(reverse("desk:stand-in", args=[garment.pk]), {"size": "child-116"})
    owner.post(reverse("desk:draft-garment", args=[garment.pk]))

    shown = owner.get(address).text
    assert "Drafted for a child, 116 cm tall, who stands in until" in shown
    assert "None: a size stands in." in shown
