"""REST: fittings booked, cancelled and held."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.workshop import factories
from tests.workshop.orders import house as built
from workshop.orders.models import Garment
from workshop.planning.models import Fitting
from workshop.planning.queries import free_fitting_slots


@pytest.fixture
def accepted(house) -> Garment:
    return factories.accepted_order(house).order.garments.get()


def test_fittings_books_a_free_time_once(owner, accepted):
    first = free_fitting_slots(accepted, factories.NOW)[0]
    time = owner.get(f"garments/{accepted.pk}/fitting-times/").json()[0]
    body = {"garment": accepted.pk, "starts_at": time["starts_at"]}

    booked, again = owner.post("fittings/", body), owner.post("fittings/", body)

    # When it is ready to be tried on is the plan's affair: its cloth has still to come.
    assert time == {
        "starts_at": f"{first.starts_at:%Y-%m-%dT%H:%M:%SZ}",
        "ends_at": f"{first.starts_at + timedelta(minutes=45):%Y-%m-%dT%H:%M:%SZ}",
        "fitter": "Fenna",
    }
    assert (booked.status_code, again.status_code) == (201, 409)
    assert (booked.json()["starts_at"], booked.json()["chosen_by_customer"]) == (time["starts_at"], False)
    assert Fitting.objects.count() == 1


@pytest.mark.parametrize("moment", ["2026-03-03T09:00:00", "soon", "", "9999-12-31T23:59:59-23:59"])
def test_fittings_asks_for_a_moment_with_its_offset(owner, accepted, moment):
    response = owner.post("fittings/", {"garment": accepted.pk, "starts_at": moment})

    assert (response.status_code, list(response.json())) == (400, ["starts_at"])


def test_fittings_cancels(owner, accepted):
    time = owner.get(f"garments/{accepted.pk}/fitting-times/").json()[0]["starts_at"]
    fitting = owner.post("fittings/", {"garment": accepted.pk, "starts_at": time}).json()

    cancelled = owner.post(f"fittings/{fitting['id']}/cancel/")

    assert (cancelled.status_code, cancelled.json()["cancelled_at"]) == (200, "2026-03-02T09:00:00Z")
    assert owner.post(f"fittings/{fitting['id']}/cancel/").status_code == 409
    assert owner.get(f"garments/{accepted.pk}/fitting-times/").json()[0]["starts_at"] == time


SIDE_SEAM = {"place": "side_seam", "way": "in", "side": "left", "amount_mm": 12.7}
ALTER = {"outcome": "alteration", "changes": [SIDE_SEAM]}


@pytest.fixture
def tried_on(house, accepted) -> Fitting:
    """A fitting that is on now."""
    fitting = built.hold(house, accepted, after=timedelta())
    fitting.held_at, fitting.outcome = None, ""
    fitting.save(update_fields=["held_at", "outcome"])
    return fitting


def test_fittings_holds_one_with_what_was_found_by_place(owner, tried_on):
    hem = {"place": "hem", "way": "up", "amount_mm": 25.4, "minutes": 60, "in_figure": False}
    words = {"what": "Move the zip down", "minutes": 25}
    body = {**ALTER, "changes": [SIDE_SEAM, hem], "alterations": [words], "notes": "Neat.", "signed_by": "Di"}

    held = owner.post(f"fittings/{tried_on.pk}/hold/", body)
    again = owner.post(f"fittings/{tried_on.pk}/hold/", body)

    shown = held.json()
    found = [(row["place"], row["side"], row["amount_mm"], row["words"]) for row in shown["changes"]]
    assert (held.status_code, again.status_code) == (200, 409)
    assert (shown["outcome"], shown["notes"], shown["signed_by"]) == ("alteration", "Neat.", "Di")
    assert found == [
        ("side_seam", "left", 12.7, "side seam in by 1.3 cm, left"),
        ("hem", "", 25.4, "hem up by 2.5 cm"),
        ("", "", None, "Move the zip down"),
    ]
    tasks = {task.pk: task for task in tried_on.garment.tasks.filter(group="alter")}
    assert sorted(row["task"] for row in shown["changes"]) == sorted(tasks)
    assert [tasks[row["task"]].minutes_planned for row in shown["changes"][1:]] == [60, 25]
    assert owner.get(f"fittings/{tried_on.pk}/").json() == shown


@pytest.mark.parametrize(
    ("change", "number", "part"),
    [
        ({"way": "up"}, 1, "way"),
        ({"side": ""}, 1, "side"),
        ({"amount_mm": 0}, 1, "amount"),
        ({"amount_mm": 81}, 1, "amount"),
        ({"minutes": 0}, 1, "minutes"),
        ({"side": "left"}, 1, "place"),
    ],
)
def test_fittings_says_which_finding_cannot_be(owner, tried_on, change, number, part):
    body = {**ALTER, "changes": [SIDE_SEAM, {**SIDE_SEAM, "side": "right", **change}]}

    refused = owner.post(f"fittings/{tried_on.pk}/hold/", body)

    said = refused.json()
    assert (refused.status_code, said["field"]) == (409, "changes")
    assert (said["number"], said["part"]) == (number, part)
    assert owner.get(f"fittings/{tried_on.pk}/").json()["held_at"] is None


@pytest.mark.parametrize(
    ("body", "status", "field"),
    [
        ({}, 400, "outcome"),
        ({**ALTER, "outcome": "wonderful"}, 400, "outcome"),
        ({**ALTER, "changes": [{**SIDE_SEAM, "place": "elbow"}]}, 400, "changes"),
        ({**ALTER, "changes": "hem"}, 400, "changes"),
        ({**ALTER, "changes": [{**SIDE_SEAM, "amount_mm": "nan"}]}, 400, "changes"),
        ({**ALTER, "measures": {"waist": ["80"]}}, 400, "measures"),
        ({"outcome": "alteration"}, 409, "alterations"),
        ({"outcome": "fits", "changes": [SIDE_SEAM]}, 409, "outcome"),
        ({"outcome": "remeasure", "measures": {"elbow": "9"}}, 409, "elbow"),
    ],
)
def test_fittings_holds_nothing_that_cannot_be(owner, tried_on, body, status, field):
    refused = owner.post(f"fittings/{tried_on.pk}/hold/", body)

    said = refused.json()
    assert refused.status_code == status
    assert field in (said if status == 400 else (said["field"],))
    assert owner.get(f"fittings/{tried_on.pk}/").json()["held_at"] is None


def test_fittings_are_held_by_the_owner(apprentice, tried_on):
    assert apprentice.post(f"fittings/{tried_on.pk}/hold/", ALTER).status_code == 403
