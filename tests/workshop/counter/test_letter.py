"""The customer's letter: what it says, when, and to whom."""

from __future__ import annotations

import re
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.workshop import factories
from tests.workshop.factories import NOW
from tests.workshop.orders import house as built
from tests.workshop.surfaces import told, words
from workshop.counter.views import price_lines
from workshop.orders import services as orders
from workshop.orders.models import PrivateLink
from workshop.planning import queries as planning
from workshop.planning.models import Fitting

GUESSED = "A" * 43


def letter(link: PrivateLink, name: str = "order", *args: object) -> str:
    return reverse(f"counter:{name}", args=[link.secret, *args])


@pytest.fixture
def link(house) -> PrivateLink:
    """The link of an order whose quote is out."""
    return factories.quoted_order(house)


@pytest.fixture
def quote(link):
    return link.order.quotes.get()


@pytest.fixture
def visitor() -> Client:
    return Client()


# What is there


def test_show_order_says_the_quote_that_is_out(link, quote, visitor):
    page = words(visitor.get(letter(link)))

    assert quote.deposit == quote.payable * Decimal("0.40")
    told = (
        f"Total EUR {quote.payable:.2f} Of this, a deposit of EUR {quote.deposit:.2f} is due before we cut."
    )
    assert told in page
    assert "Dear Marta Quist," in page
    assert "Alterations after the second fitting are charged by the hour." in page
    assert "The quote is valid until Monday 23 March 2026." in page


def test_price_lines_sum_to_what_is_paid(quote):
    lines = price_lines(quote)

    assert [line["words"] for line in lines][:2] == [quote.content["lines"][0]["words"], "VAT 21 %"]
    assert sum(line["amount"] for line in lines) == quote.payable
    assert quote.payable == quote.net + quote.tax + quote.rounding


def test_price_lines_end_with_the_rounding(quote):
    quote.rounding = Decimal("-0.02")

    lines = price_lines(quote)

    assert lines[-1] == {"words": "Rounding", "amount": Decimal("-0.02")}
    assert sum(line["amount"] for line in lines) == quote.gross - Decimal("0.02")


def test_price_lines_leave_out_a_tax_of_nothing(house):
    house.workshop.tax_rate = Decimal(0)
    house.workshop.save(update_fields=["tax_rate"])
    quote = factories.quoted_order(house).order.quotes.get()

    lines = price_lines(quote)

    assert [line["words"] for line in lines if line["words"] != "Rounding"] == [
        quote.content["lines"][0]["words"]
    ]
    assert sum(line["amount"] for line in lines) == quote.payable


def test_show_order_shows_no_later_version_that_is_not_sent(house, link, quote, visitor):
    before = words(visitor.get(letter(link)))
    house.satin.price_per_metre = Decimal("99.00")
    house.satin.save(update_fields=["price_per_metre"])
    written = orders.prepare_quote(order=link.order, by=house.owner, now=NOW)

    after = words(visitor.get(letter(link)))

    assert written.payable > quote.payable
    assert after == before


@pytest.mark.parametrize("address", [GUESSED, "short", "x" * 65, "n" * 30 + "%00" + "n" * 10])
def test_show_order_shows_nothing_for_a_guessed_address(link, visitor, address):
    response = visitor.get(f"/c/{address}/")

    assert response.status_code == 404
    assert response.content == visitor.get(f"/c/{GUESSED}/").content


def test_show_order_shows_the_same_nothing_once_it_ran_out(link, visitor, clock):
    clock.move_to(link.expires_at - timedelta(seconds=1))
    assert visitor.get(letter(link)).status_code == 200

    clock.move_to(link.expires_at)
    gone = visitor.get(letter(link))

    assert gone.status_code == 404
    assert gone.content == visitor.get(f"/c/{GUESSED}/").content
    assert gone.headers == visitor.get(f"/c/{GUESSED}/").headers


def test_show_order_shows_the_same_nothing_once_withdrawn(house, link, visitor):
    orders.withdraw_link(link=link, by=house.owner, now=NOW)

    gone = visitor.get(letter(link))
    answered = visitor.post(letter(link, "accept"), {"name": "Marta", "version": "1"})

    assert gone.status_code == answered.status_code == 404
    assert gone.content == answered.content == visitor.get(f"/c/{GUESSED}/").content
    assert link.order.quotes.get().state == "sent"


def test_the_letter_is_kept_by_nobody_and_listed_nowhere(link, visitor):
    headers = visitor.get(letter(link)).headers

    assert headers["Cache-Control"] == "private, no-store"
    assert headers["X-Robots-Tag"] == "noindex, nofollow"
    assert headers["Referrer-Policy"] == "same-origin"


@pytest.mark.parametrize("name", ["accept", "decline"])
def test_opening_the_address_of_an_answer_shows_the_letter(link, visitor, name):
    response = visitor.get(letter(link, name))

    assert (response.status_code, response.headers["Location"]) == (302, letter(link))
    assert link.order.quotes.get().state == "sent"


# Accepting


def test_accept_notes_who_and_goes_back_to_the_letter(link, visitor):
    response = visitor.post(letter(link, "accept"), {"name": "Marta Quist", "version": "1"})

    quote = link.order.quotes.get()
    assert (response.status_code, response.headers["Location"]) == (302, letter(link))
    assert (quote.state, quote.answered_by, quote.answered_at) == ("accepted", "Marta Quist", NOW)
    assert link.order.invoices.count() == 1


def test_accept_twice_is_once(link, visitor):
    for name in ("Marta Quist", "Somebody else"):
        response = visitor.post(letter(link, "accept"), {"name": name, "version": "1"})

    assert response.status_code == 302
    assert link.order.quotes.get().answered_by == "Marta Quist"
    assert link.order.invoices.count() == 1


@pytest.mark.parametrize(
    ("typed", "fault"),
    [
        ({"name": "", "version": "1"}, "This field is required."),
        ({"name": "M" * 121, "version": "1"}, "at most 120 characters (it has 121)"),
        ({"name": "Marta"}, "Please open the letter again and answer the quote that it shows."),
        ({"name": "Marta", "version": "nan"}, "Please open the letter again"),
        ({"name": "Marta", "version": "9" * 40}, "Please open the letter again"),
        ({"name": "Mar\x00ta", "version": "1"}, "Null characters are not allowed."),
    ],
)
def test_accept_says_what_is_wrong(link, visitor, typed, fault):
    response = visitor.post(letter(link, "accept"), typed)

    assert response.status_code == 200
    assert fault in words(response)
    assert link.order.quotes.get().state == "sent"


def test_accept_keeps_what_was_typed(link, visitor):
    response = visitor.post(letter(link, "accept"), {"name": "M" * 121, "version": "1"})

    assert f'value="{"M" * 121}"' in response.content.decode()


def test_accept_of_an_older_version_shows_the_newer(house, link, visitor):
    newer = orders.prepare_quote(order=link.order, by=house.owner, now=NOW)
    orders.send_quote(quote=newer, by=house.owner, now=NOW)

    response = visitor.post(letter(link, "accept"), {"name": "Marta", "version": "1"}, follow=True)

    assert "We have sent a newer version of this quote" in words(response)
    assert '<input type="hidden" name="version" value="2"' in response.content.decode()
    assert sorted(link.order.quotes.values_list("version", "state")) == [(1, "superseded"), (2, "sent")]


def test_accept_is_refused_after_the_last_day(link, visitor, clock):
    clock.move_to(NOW + timedelta(days=22))

    response = visitor.post(letter(link, "accept"), {"name": "Marta", "version": "1"})

    assert "This quote was valid until 23 March 2026; ask for a new one." in words(response)
    assert "Your answer" not in words(response)
    assert link.order.quotes.get().state == "sent"


def test_accept_is_refused_for_a_cancelled_order(house, link, visitor):
    orders.cancel_order(order=link.order, reason="moved away", by=house.owner, now=NOW)

    response = visitor.post(letter(link, "accept"), {"name": "Marta", "version": "1"})

    assert "This order was cancelled; please call us." in words(response)
    assert "moved away" not in words(response)
    assert link.order.quotes.get().state == "withdrawn"


def test_accept_works_with_the_guard_against_forged_forms(link):
    browser = Client(enforce_csrf_checks=True)
    page = browser.get(letter(link)).content.decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page).group(1)
    typed = {"name": "Marta", "version": "1"}

    forged = browser.post(letter(link, "accept"), typed)
    sent = browser.post(
        letter(link, "accept"),
        {**typed, "csrfmiddlewaretoken": token},
        headers={"Origin": "http://testserver"},
    )

    assert (forged.status_code, sent.status_code) == (403, 302)
    assert link.order.quotes.get().state == "accepted"


# Declining


def test_decline_notes_the_reason(link, visitor):
    response = visitor.post(
        letter(link, "decline"), {"reason": "Too dear <for> us", "version": "1"}, follow=True
    )

    quote = link.order.quotes.get()
    assert (quote.state, quote.decline_reason) == ("declined", "Too dear <for> us")
    assert "You declined our quote: “Too dear <for> us”." in words(response)
    assert b"<for>" not in response.content


def test_decline_of_an_older_version_leaves_the_newer_open(house, link, visitor):
    newer = orders.prepare_quote(order=link.order, by=house.owner, now=NOW)
    orders.send_quote(quote=newer, by=house.owner, now=NOW)

    visitor.post(letter(link, "decline"), {"reason": "", "version": "1"})

    newer.refresh_from_db()
    assert newer.state == "sent"


def test_decline_keeps_a_reason_that_is_too_long(link, visitor):
    response = visitor.post(letter(link, "decline"), {"reason": "r" * 301, "version": "1"})

    assert "at most 300 characters (it has 301)" in words(response)
    assert "r" * 301 in response.content.decode()
    assert link.order.quotes.get().state == "sent"


# Fittings


@pytest.fixture
def accepted(house) -> PrivateLink:
    return factories.accepted_order(house)


@pytest.fixture
def garment(accepted):
    return accepted.order.garments.get()


def first_times(garment, count: int = 3) -> list[str]:
    return [slot.starts_at.isoformat() for slot in planning.free_fitting_slots(garment, NOW, limit=count)]


def shown_times(response) -> list[str]:
    return re.findall(r'name="starts_at" value="([^"]+)"', response.content.decode())


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
    accepted.order.due_on = garment.workshop.day_of(NOW) + timedelta(days=4)
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
    assert shown_times(visitor.get(letter(accepted))) == []


def test_book_fitting_twice_books_once(accepted, garment, visitor):
    wished = first_times(garment)[0]
    for _ in range(2):
        response = visitor.post(letter(accepted, "book", garment.pk), {"starts_at": wished})

    assert told(response)[-1] == "A fitting of Grey dress is booked already: give its time back first."
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

    assert "That time is no longer free. Below are the times that are." in words(response)
    shown = shown_days(response.content.decode())
    assert shown == dict(list(offered_days(garment).items())[:12])
    assert wished not in shown_times(response)
    assert garment.fittings.count() == 0


@pytest.mark.parametrize(
    ("typed", "fault"),
    [
        ("", "Choose one of the times, please."),
        ("soon", "That time is no longer free. Below are the times that are."),
        ("2026-03-03T03:00:00+00:00", "That time is no longer free. Below are the times that are."),
        ("2026-03-04T09:07:00+00:00", "That time is no longer free. Below are the times that are."),
        ("9999-12-31T23:59:59-23:59", "That time is no longer free. Below are the times that are."),
        ("2020-03-04T09:00:00+00:00", "That time is no longer free. Below are the times that are."),
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
    assert "DTSTART;TZID=Europe/Lisbon:20260303T090000" in lines


# Progress, papers, money


def test_show_order_tells_the_progress_once_accepted(house, accepted, visitor):
    assert "The pattern is being drafted." in words(visitor.get(letter(accepted)))


def test_paper_sends_only_papers_of_this_order(house, accepted, run_jobs, visitor):
    other = factories.accepted_order(house)
    run_jobs()
    own, foreign = accepted.order.documents.get(kind="invoice"), other.order.documents.get(kind="invoice")
    pattern = accepted.order.documents.filter(kind="pattern-a4").first()

    response = visitor.get(letter(accepted, "paper", own.pk))

    assert b"".join(response.streaming_content).startswith(b"%PDF-")
    assert response.headers["Cache-Control"] == "private, no-store"
    assert own.document.name in words(visitor.get(letter(accepted)))
    assert visitor.get(letter(accepted, "paper", foreign.pk)).status_code == 404
    assert pattern is None or visitor.get(letter(accepted, "paper", pattern.pk)).status_code == 404


def test_paper_that_is_gone_from_the_disk_is_nothing(accepted, run_jobs, visitor):
    run_jobs()
    paper = accepted.order.documents.get(kind="invoice")
    paper.document.file.storage.delete(paper.document.file.name)

    assert visitor.get(letter(accepted, "paper", paper.pk)).status_code == 404


def test_show_order_tells_what_is_still_to_pay(house, accepted, visitor):
    quote = accepted.order.quotes.get()
    built.pay(house, accepted.order, quote.deposit)

    page = words(visitor.get(letter(accepted)))

    left = quote.payable - quote.deposit
    assert (
        f"Agreed price EUR {quote.payable:.2f} Paid EUR {quote.deposit:.2f} Still to pay EUR {left:.2f}"
        in page
    )


def test_papers_stay_when_a_new_version_is_out(house, accepted, run_jobs, visitor):
    run_jobs()
    newer = orders.prepare_quote(order=accepted.order, by=house.owner, now=NOW)
    orders.send_quote(quote=newer, by=house.owner, now=NOW)

    page = words(visitor.get(letter(accepted)))

    assert accepted.order.documents.get(kind="invoice").document.name in page


def test_the_letter_asks_the_database_as_often_for_three_garments(house, visitor):
    counted = []
    for number in (1, 3):
        wishes = [factories.make_wish(house, title=f"Dress {index}") for index in range(number)]
        link = factories.quoted_order(house, factories.take_order(house, garments=wishes))
        with CaptureQueriesContext(connection) as asked:
            page = words(visitor.get(letter(link)))
        counted.append(len(asked))
        assert f"Dress {number - 1}, for Marta Quist" in page

    assert counted[0] == counted[1]
