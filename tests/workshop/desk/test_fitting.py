"""The page on which the owner says how a fitting went."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from tests.workshop.desk import made
from workshop.planning.models import FittingPhoto, Task

SIDE_SEAM = {"outcome": "alteration", "place_1": "side_seam:in", "side_1": "both", "amount_1": "1/2 in"}


@pytest.fixture
def fitting(house):
    """A fitting that is being held."""
    row = made.book(house, made.to_cut(house))
    row.starts_at = timezone.now() - timedelta(minutes=20)
    row.save(update_fields=["starts_at"])
    return row


def send(owner, fitting, form):
    return owner.post(reverse("desk:fitting", args=[fitting.pk]), form)


def tasks(fitting):
    return list(Task.objects.filter(garment=fitting.garment, position__gte=100).order_by("position"))


@pytest.mark.parametrize(
    ("unit", "written"), [("in", ("1/2 in", "1/2")), ("cm", ("1.3 cm", "1.5")), ("mm", ("13 mm", "15"))]
)
def test_hold_fitting_writes_amounts_in_the_workshops_own_unit(house, owner, fitting, unit, written):
    amount, example = written
    house.workshop.length_unit = unit
    house.workshop.save(update_fields=["length_unit"])

    page = owner.get(reverse("desk:fitting", args=[fitting.pk])).text
    send(owner, fitting, {**SIDE_SEAM, "figure_1": "on"})

    assert f'placeholder="{example}"' in page
    assert f"By how much 1, {unit}" in page
    assert [task.title for task in tasks(fitting)] == [f"Alter: side seam in by {amount}, both sides"]
    assert fitting.changes.get().typed == "1/2 in"


def test_hold_fitting_shows_afterwards_what_was_found_and_who_signed(owner, fitting):
    send(
        owner,
        fitting,
        {
            **SIDE_SEAM,
            "place_2": "shoulder:up",
            "side_2": "left",
            "amount_2": "1",
            "takes_2": "25",
            "figure_2": "on",
            "what_1": "loosen the cuff",
            "minutes_1": "10",
            "signed_by": "Marta Quist",
        },
    )

    shown = owner.get(reverse("desk:fitting", args=[fitting.pk])).text
    assert [task.minutes_planned for task in tasks(fitting)] == [68, 25, 10]
    for words in (
        "Side seam in by 1.3 cm, both sides",
        "Left shoulder lower than the right +1.0 cm",
        "Loosen the cuff",
        "Signed off by Marta Quist",
    ):
        assert words in shown


def test_hold_fitting_sent_twice_is_held_once(owner, fitting):
    address = reverse("desk:fitting", args=[fitting.pk])
    form = {**SIDE_SEAM, "submission": "5d7f0f7e-0000-4000-8000-000000000001"}

    first, second = (owner.post(address, form) for _ in range(2))

    assert (first.status_code, second.status_code) == (302, 302)
    assert len(tasks(fitting)) == 1


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"place_1": ""}, "place_1"),
        ({"amount_1": ""}, "amount_1"),
        ({"amount_1": "a bit"}, "amount_1"),
        ({"amount_1": "-1"}, "amount_1"),
        ({"amount_1": "0"}, "amount_1"),
        ({"amount_1": "90"}, "amount_1"),
        ({"amount_1": "1/0"}, "amount_1"),
        ({"side_1": ""}, "side_1"),
        ({"side_1": "front"}, "side_1"),
        ({"place_1": "side_seam"}, "place_1"),
        ({"place_1": "side_seam:up"}, "place_1"),
        ({"place_1": "hem:up"}, "side_1"),
        ({"takes_1": "0"}, "takes_1"),
        ({"place_2": "side_seam:in", "side_2": "both", "amount_2": "1"}, "place_2"),
        ({"place_3": "hem:up", "side_3": "left", "amount_3": "1"}, "side_3"),
        ({"measure_1": "waist_girth"}, "length_1"),
        ({"length_2": "70"}, "measure_2"),
        ({"measure_1": "waist_girth", "length_1": "tight"}, "length_1"),
        ({"measure_1": "waist_girth", "length_1": "120"}, "length_1"),
        ({"signed_by": "x" * 121}, "signed_by"),
        ({"outcome": "fits"}, "outcome"),
    ],
)
def test_hold_fitting_shows_each_fault_at_its_field(owner, fitting, changes, field):
    answer = send(owner, fitting, {**SIDE_SEAM, **changes})

    fitting.refresh_from_db()
    assert list(made.faults(answer)) == [field]
    assert (fitting.held_at, tasks(fitting)) == (None, [])


def test_hold_fitting_takes_an_unlikely_measure_that_is_confirmed(owner, fitting):
    form = {"outcome": "fits", "measure_1": "waist_girth", "length_1": "120", "measures_confirmed": "on"}

    answer = send(owner, fitting, form)

    assert made.told(answer) == ["Noted."]
    assert fitting.garment.wearer.measurement_sets.latest("pk").values["waist_girth"] == 1200.0


def sent(content=None, name="photo.jpg"):
    return {"photo": SimpleUploadedFile(name, made.picture() if content is None else content, "image/jpeg")}


def test_photographs_wait_for_the_consent(owner, fitting):
    page = owner.get(reverse("desk:fitting", args=[fitting.pk])).text
    answer = owner.post(reverse("desk:add-photo", args=[fitting.pk]), sent())

    assert "None without consent. Ask Marta Quist" in page
    assert 'type="file"' not in page
    assert "Ask Marta Quist first and note the consent; then take photographs." in answer.text
    assert FittingPhoto.objects.count() == 0


def test_photographs_are_kept_shown_and_deleted(owner, visitor, fitting):
    owner.post(reverse("desk:photo-consent", args=[fitting.pk]))
    answer = owner.post(reverse("desk:add-photo", args=[fitting.pk]), sent())
    photo = FittingPhoto.objects.get()
    address = reverse("photograph", args=[photo.pk])

    assert made.told(answer) == ["The photograph is kept."]
    assert f'src="{address}"' in owner.get(reverse("desk:fitting", args=[fitting.pk])).text
    seen = owner.get(address)
    assert (seen.headers["Content-Type"], seen.headers["Cache-Control"]) == (
        "image/jpeg",
        "private, no-store",
    )
    assert b"".join(seen.streaming_content)[:2] == b"\xff\xd8"
    assert visitor.get(address).url == f"/sign-in/?next={address}"

    owner.post(reverse("desk:delete-photo", args=[photo.pk]))
    assert owner.get(address).status_code == 404


def test_photographs_of_other_workshops_and_other_work_are_nothing(house, next_door, apprentice, fitting):
    photo = made.photographed(house, fitting)
    address = reverse("photograph", args=[photo.pk])

    assert made.signed_in(next_door.owner).get(address).status_code == 404
    assert apprentice.get(address).status_code == 404
    Task.objects.filter(garment=fitting.garment).update(staff=house.apprentice)
    seen = apprentice.get(address)
    assert (seen.status_code, b"".join(seen.streaming_content)[:2]) == (200, b"\xff\xd8")


@pytest.mark.parametrize("content", [b"", b"MZ\x00", b"<html>", b"\xff\xd8\xff\xe0"])
def test_what_is_no_photograph_is_refused_in_words(house, owner, fitting, content):
    owner.post(reverse("desk:photo-consent", args=[fitting.pk]))

    answer = owner.post(reverse("desk:add-photo", args=[fitting.pk]), sent(content))

    assert answer.status_code == 200
    assert list(made.faults(answer, "photo_form")) == ["photo"]
    assert FittingPhoto.objects.count() == 0


def test_consent_taken_back_erases_the_photographs(house, owner, fitting):
    made.photographed(house, fitting)

    answer = owner.post(reverse("desk:photo-consent", args=[fitting.pk]), {"withdraw": "1"})

    assert made.told(answer) == ["Noted. Photographs erased: 1."]
    assert FittingPhoto.objects.count() == 0
    assert "None without consent." in owner.get(reverse("desk:fitting", args=[fitting.pk])).text


@pytest.mark.parametrize(
    "typed", ["2027-03-28T01:30", "2027-10-31T01:30", "0001-01-01T00:00", "2027-02-30T10:00"]
)
def test_book_fitting_refuses_a_time_that_the_clock_skips_or_shows_twice(house, owner, typed):
    """In Lisbon half past one does not come on 28 March 2027, and comes twice on 31 October."""
    house.workshop.time_zone = "Europe/Lisbon"
    house.workshop.save(update_fields=["time_zone"])
    garment = made.garment(house)

    answer = owner.post(reverse("desk:book-fitting", args=[garment.pk]), {"other": typed})

    assert answer.status_code == 200
    assert list(made.faults(answer)) == ["other"]
    assert garment.fittings.count() == 0
