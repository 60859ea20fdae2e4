"""The customer chooses a fitting, and gives it back."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from tests.workshop import factories
from tests.workshop.counter.letters import GUESSED, letter
from tests.workshop.factories import NOW
from tests.workshop.orders import house as built
from tests.workshop.surfaces import told, words
from workshop.orders import services as orders
from workshop.planning import queries as planning
from workshop.planning.models import Fitting


def first_times(garment, count: int = 3) -> list[str]:
    return [slot.starts_at.isoformat() for slot in planning.free_fitting_slots(garment, NOW, limit=count)]


def shown_times(response) -> list[str]:
    return re.findall(r'name="starts_at" value="([^"]+)"', response.content.decode())


def chosen_times(response) -> list[str]:
    """The times that the page has chosen already."""
    return re.findall(r'name="starts_at" value="([^"]+)" checked', response.content.decode())


def forms_of(response) -> list[str]:
    return re.findall(r'<form method="post" action="([^"]+)"', response.content.decode())


def offered_days(garment) -> dict[str, list[str]]:
    """All free times of the garment by their day, in order."""
    days: dict[str, list[str]] = {}
    for slot in planning.free_fitting_slots(garment, NOW, limit=5000):
        on = garment.workshop.day_of(slot.starts_at)
        days.setdefault(f"{on:%A} {on.day} {on:%B}", []).append(slot.starts_at.isoformat())
    return days


def shown_days(page: str) -> dict[str, list[str]]:
    """The times that a page offers, by the day over them."""
    days = re.findall(r"<legend>(.+?)</legend>(.*?)</fieldset>", page, flags=re.DOTALL)
    return {day: re.findall(r'name="starts_at" value="([^"]+)"', times) for day, times in days}


def test_show_order_offers_the_free_times_by_day_and_folds_later_days_away(accepted, garment, visitor):
    page = visitor.get(letter(accepted)).content.decode()

    in_sight, folded = page.split("<summary>Later days</summary>")
    every_day = list(offered_days(garment).items())
    assert list(shown_days(in_sight).items()) == every_day[:3]
    assert list(shown_days(folded.split("</details>")[0]).items()) == every_day[3:12]


def test_show_order_folds_nothing_away_where_few_days_are_left(accepted, garment, visitor):
    first = planning.free_fitting_slots(garment, NOW, limit=1)[0]
    accepted.order.due_on = garment.workshop.day_of(first.starts_at) + timedelta(days=2)
    accepted.order.save(update_fields=["due_on"])
    page = visitor.get(letter(accepted)).content.decode()

    days = offered_days(accepted.order.garments.get())
    assert 0 < len(days) <= 3
    assert shown_days(page) == days
    assert "Later days" not in page


def test_show_order_offers_no_time_before_it_is_accepted(link, visitor):
    assert shown_times(visitor.get(letter(link))) == []


def test_book_fitting_books_the_chosen_time(accepted, garment, visitor):
    wished = first_times(garment)[1]

    response = visitor.post(letter(accepted, "book", garment.pk), {"starts_at": wished})

    fitting = Fitting.objects.get()
    assert (response.status_code, response.headers["Location"]) == (302, letter(accepted))
    assert (fitting.starts_at.isoformat(), fitting.garment, fitting.chosen_by_customer) == (
        wished,
        garment,
        True,
    )
    assert letter(accepted, "book", garment.pk) not in forms_of(visitor.get(letter(accepted)))


def test_book_fitting_twice_books_once(accepted, garment, visitor):
    wished = first_times(garment)[0]
    for _ in range(2):
        response = visitor.post(letter(accepted, "book", garment.pk), {"starts_at": wished})

    assert told(response)[-1] == "A fitting of Grey dress is booked already: move it, or give its time back."
    assert Fitting.objects.count() == 1


def test_book_fitting_of_a_time_taken_meanwhile_shows_the_free_ones(house, accepted, garment, visitor):
    wished = first_times(garment)[0]
    other = built.garment_of(factories.take_order(house))
    Fitting.objects.create(
        workshop=house.workshop,
        garment=other,
        fitter=house.owner,
        starts_at=wished,
        ends_at=planning.free_fitting_slots(garment, NOW, limit=1)[0].ends_at,
        created_at=NOW,
    )

    response = visitor.post(letter(accepted, "book", garment.pk), {"starts_at": wished}, follow=True)

    assert "That time is no longer free. The next one is chosen below." in words(response)
    assert chosen_times(response) == first_times(garment, 1)
    shown = shown_days(response.content.decode())
    assert shown == dict(list(offered_days(garment).items())[:12])
    assert wished not in shown_times(response)
    assert garment.fittings.count() == 0


@pytest.mark.parametrize(
    ("typed", "fault"),
    [
        ("", "Choose one of the times, please."),
        ("soon", "That time is no longer free. The next one is chosen below."),
        ("2026-03-03T03:00:00+00:00", "That time is no longer free. The next one is chosen below."),
        ("2026-03-04T09:07:00+00:00", "That time is no longer free. The next one is chosen below."),
        ("9999-12-31T23:59:59-23:59", "That time is no longer free. The next one is chosen below."),
        ("2020-03-04T09:00:00+00:00", "That time is no longer free. The next one is chosen below."),
    ],
)
def test_book_fitting_takes_no_other_time(accepted, garment, visitor, typed, fault):
    response = visitor.post(letter(accepted, "book", garment.pk), {"starts_at": typed})

    assert told(response) == [fault]
    assert Fitting.objects.count() == 0


def test_book_fitting_waits_for_the_answer(link, visitor):
    garment = link.order.garments.get()
    response = visitor.post(letter(link, "book", garment.pk), {"starts_at": first_times(garment)[0]})

    assert told(response) == ["Please accept the quote first; then choose a time."]
    assert Fitting.objects.count() == 0


def test_book_fitting_of_another_order_is_nothing(house, accepted, visitor):
    other = built.garment_of(factories.take_order(house))

    response = visitor.post(letter(accepted, "book", other.pk), {"starts_at": first_times(other)[0]})

    assert response.status_code == 404
    assert response.content == visitor.get(f"/c/{GUESSED}/").content
    assert Fitting.objects.count() == 0


@pytest.fixture
def fitting(accepted, garment, visitor) -> Fitting:
    visitor.post(letter(accepted, "book", garment.pk), {"starts_at": first_times(garment)[0]})
    return Fitting.objects.get()


def test_cancel_fitting_gives_the_time_back(accepted, garment, fitting, visitor):
    visitor.post(letter(accepted, "cancel-fitting", fitting.pk))

    fitting.refresh_from_db()
    assert fitting.cancelled_at == NOW
    assert shown_times(visitor.get(letter(accepted)))[0] == fitting.starts_at.isoformat()


def test_cancel_fitting_is_too_late_on_the_day(accepted, fitting, visitor, clock):
    clock.move_to(fitting.starts_at - timedelta(hours=23))

    page = visitor.get(letter(accepted))
    response = visitor.post(letter(accepted, "cancel-fitting", fitting.pk))

    fitting.refresh_from_db()
    assert "It is less than a day away: to change it, please call us on +351 555 010." in words(page)
    assert told(response)[-1] == (
        "The fitting is less than a day away; please call Thread & Tide on +351 555 010."
    )
    assert fitting.cancelled_at is None


def test_cancel_fitting_of_another_order_is_nothing(house, accepted, visitor):
    other = built.hold(house, built.garment_of(factories.take_order(house)), outcome="")

    assert visitor.post(letter(accepted, "cancel-fitting", other.pk)).status_code == 404
    assert visitor.get(letter(accepted, "calendar", other.pk)).status_code == 404


def test_fitting_calendar_is_a_calendar_file(accepted, fitting, visitor):
    response = visitor.get(letter(accepted, "calendar", fitting.pk))
    lines = response.content.decode().split("\r\n")

    assert response.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert response.headers["Cache-Control"] == "private, no-store"
    assert "SUMMARY:Fitting at Thread & Tide" in lines
    assert f"UID:fitting-{fitting.pk}@localhost" in lines
    assert f"DTSTART;TZID=Europe/Lisbon:{fitting.starts_at:%Y%m%dT%H%M%S}" in lines  # winter: as in UTC


def book(visitor, link, garment, wished):
    return visitor.post(letter(link, "book", garment.pk), {"starts_at": wished})


def test_book_fitting_of_a_lost_time_in_a_later_day_opens_the_later_days(house, accepted, garment, visitor):
    late = list(offered_days(garment).values())[5]
    other = built.garment_of(factories.take_order(house))
    lost = next(
        s for s in planning.free_fitting_slots(garment, NOW, limit=5000) if s.starts_at.isoformat() == late[2]
    )
    Fitting.objects.create(
        workshop=house.workshop, garment=other, fitter=house.owner, created_at=NOW,
        starts_at=lost.starts_at, ends_at=lost.ends_at,
    )  # fmt: skip

    response = book(visitor, accepted, garment, late[2])
    page = visitor.get(response.headers["Location"])

    (chosen,) = chosen_times(page)
    assert chosen > late[2]
    assert chosen in late
    assert "<details open>" in page.content.decode().replace("\n", "")


def test_show_order_takes_no_other_offer_for_chosen(accepted, garment, visitor):
    for offer in ("soon", "2020-03-04T09:00:00+00:00", "<script>", ""):
        assert chosen_times(visitor.get(letter(accepted), {"offer": offer})) == []


def move(visitor, link, fitting, wished):
    return visitor.post(letter(link, "move-fitting", fitting.pk), {"starts_at": wished})


def test_move_fitting_moves_to_a_time_that_is_offered(accepted, garment, fitting, visitor):
    wished = shown_times(visitor.get(letter(accepted)))[3]

    response = move(visitor, accepted, fitting, wished)

    fitting.refresh_from_db()
    assert told(response)[-1] == "Your fitting is moved. Please put the new time in your calendar."
    assert (fitting.starts_at.isoformat(), fitting.sequence) == (wished, 1)
    assert Fitting.objects.count() == 1


def test_move_fitting_pressed_twice_moves_once(accepted, fitting, visitor):
    wished = shown_times(visitor.get(letter(accepted)))[3]
    for _ in range(2):
        response = move(visitor, accepted, fitting, wished)

    fitting.refresh_from_db()
    assert told(response)[-1] == "Your fitting is at that time already."
    assert fitting.sequence == 1


@pytest.mark.parametrize("typed", ["", "soon", "2026-03-03T03:00:00+00:00", "2020-03-04T09:00:00+00:00"])
def test_move_fitting_takes_no_other_time(accepted, fitting, visitor, typed):
    before = fitting.starts_at

    move(visitor, accepted, fitting, typed)

    fitting.refresh_from_db()
    assert (fitting.starts_at, fitting.sequence) == (before, 0)


def test_move_fitting_is_the_workshops_after_three_moves(accepted, fitting, visitor):
    for _ in range(3):
        move(visitor, accepted, fitting, shown_times(visitor.get(letter(accepted)))[2])
    fitting.refresh_from_db()
    page = visitor.get(letter(accepted))

    response = move(visitor, accepted, fitting, first_times(fitting.garment, 9)[-1])

    assert fitting.sequence == 3
    assert "It was moved several times: to move it once more, please call us" in words(page)
    assert told(response)[-1] == (
        "The fitting was moved 3 times already; please call Thread & Tide on +351 555 010."
    )


def test_move_fitting_is_too_late_within_the_workshops_own_notice(house, accepted, fitting, visitor, clock):
    house.workshop.fitting_notice_hours = 72
    house.workshop.save(update_fields=["fitting_notice_hours"])
    clock.move_to(fitting.starts_at - timedelta(hours=71))

    page = visitor.get(letter(accepted))
    response = move(visitor, accepted, fitting, first_times(fitting.garment, 9)[-1])

    fitting.refresh_from_db()
    assert "It is less than 3 days away" in words(page)
    assert "less than 3 days away" in told(response)[-1]
    assert fitting.sequence == 0


def test_move_fitting_of_another_order_is_nothing(house, accepted, visitor):
    other = built.hold(house, built.garment_of(factories.take_order(house)), outcome="")

    assert move(visitor, accepted, other, "2026-03-04T09:00:00+00:00").status_code == 404


def test_a_cancelled_order_gives_its_fitting_back_and_takes_no_other(accepted, fitting, visitor, run_jobs):
    orders.cancel_order(order=accepted.order, reason="no wedding", by=None, now=NOW)
    response = move(visitor, accepted, fitting, first_times(fitting.garment, 5)[-1])
    run_jobs()

    fitting.refresh_from_db()
    assert "was cancelled" in told(response)[-1]
    assert (fitting.sequence, fitting.cancelled_at) == (1, NOW)
    assert shown_times(visitor.get(letter(accepted))) == []


def test_reminders_are_turned_off_and_on_on_the_letter(house, accepted, fitting, visitor):
    shown = words(visitor.get(letter(accepted)))
    off = visitor.post(letter(accepted, "reminders"))
    after = words(visitor.get(letter(accepted)))
    house.client.refresh_from_db()
    refused = house.client.reminded
    on = visitor.post(letter(accepted, "reminders"), {"wanted": "1"})
    house.client.refresh_from_db()

    assert "We remind you by e-mail 2 days before." in shown
    assert told(off)[-1] == "We will not remind you of fittings."
    assert "You asked for no reminders." in after
    assert told(on)[-1] == "We will remind you of your fittings."
    assert (refused, house.client.reminded) == (False, True)


def test_a_workshop_that_never_reminds_says_nothing_of_it(house, accepted, fitting, visitor):
    house.workshop.remind_days_before = 0
    house.workshop.save(update_fields=["remind_days_before"])

    assert "remind" not in words(visitor.get(letter(accepted)))
