"""Reminders of fittings: once for each time agreed, and to nobody who does not want them."""

from __future__ import annotations

import smtplib
from datetime import UTC, datetime, timedelta

import icalendar
import pytest
import time_machine
from django.core import mail

from tests.workshop.planning.conftest import NOW, make_garment
from workshop.jobs.models import Job
from workshop.jobs.services.routine import request_daily
from workshop.orders.models import Letter
from workshop.orders.services.letters import settle_letter
from workshop.people.models import Workshop
from workshop.people.services import choose_reminders, edit_client
from workshop.planning.queries.reminders import workshops_that_remind
from workshop.planning.services import book_fitting, cancel_fitting, move_fitting
from workshop.planning.services.reminding import send_reminders

TEN = datetime(2025, 4, 2, 9, 0, tzinfo=UTC)  # a Wednesday, 10:00 in summer time
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)
MONDAY = TEN - 2 * DAY


@pytest.fixture
def fitting(place, garment):
    garment.order.client.email = "clara@example.org"
    garment.order.client.save(update_fields=["email"])
    return book_fitting(garment=garment, starts_at=TEN, now=NOW, by=place.ada)


def remind(place, now=MONDAY):
    place.workshop.refresh_from_db()
    return send_reminders(workshop=place.workshop, now=now, host="h")


def test_send_reminders_says_when_in_the_workshops_own_time(place, fitting):
    assert remind(place).sent == 1

    (letter,) = mail.outbox
    assert (letter.to, letter.subject) == (["clara@example.org"], "Your fitting at The Needle")
    assert "the fitting of Blue dress:\nWednesday 2 April 2025, 10:00 to 11:00 with Ada." in letter.body
    (name, content, kind) = letter.attachments[0]
    (event,) = icalendar.Calendar.from_ical(content).walk("VEVENT")
    assert (name, kind, event.decoded("dtstart")) == ("fitting.ics", "text/calendar", TEN)
    noted = Letter.objects.get()
    assert (noted.name, noted.source_id, noted.sent_at) == ("fitting_reminder", fitting.pk, MONDAY)


def test_send_reminders_speaks_the_workshops_language(place, fitting):
    Workshop.objects.update(language="de")
    assert remind(place).sent == 1

    (letter,) = mail.outbox
    assert letter.subject == "Ihre Anprobe bei The Needle"
    assert letter.body.startswith(
        "Guten Tag Clara!\n\nWir erinnern Sie an die Anprobe für Blue dress:\n"
        "Mittwoch, 2. April 2025, 10:00 bis 11:00 Uhr bei Ada.\n"
    )
    (event,) = icalendar.Calendar.from_ical(letter.attachments[0][1]).walk("VEVENT")
    assert event["summary"] == "Anprobe bei The Needle"


def test_send_reminders_twice_sends_once(place, fitting):
    assert [remind(place).sent for _ in range(2)] == [1, 0]
    assert len(mail.outbox) == 1


def test_send_reminders_again_after_the_time_changed(place, fitting):
    remind(place)
    move_fitting(fitting=fitting, starts_at=TEN + HOUR, now=MONDAY, by=place.ada)

    assert [remind(place, MONDAY + DAY).sent for _ in range(2)] == [1, 0]
    assert "11:00 to 12:00" in mail.outbox[1].body


@pytest.mark.parametrize(
    ("days", "now", "sent"),
    [
        (2, TEN - 3 * DAY, 0),
        (2, MONDAY, 1),
        (2, TEN - HOUR, 1),
        (2, TEN, 0),
        (0, MONDAY, 0),
        (1, MONDAY, 0),
        (1, MONDAY + DAY, 1),
    ],
)
def test_send_reminders_so_many_days_before_as_the_workshop_chose(place, fitting, days, now, sent):
    type(place.workshop).objects.update(remind_days_before=days)

    assert remind(place, now).sent == sent if days else workshops_that_remind(now) == []


def test_send_reminders_counts_days_on_the_workshops_own_clock(place, fitting):
    """Half past eleven in the evening of Sunday in Lisbon is three days before, half an hour later two."""
    midnight = datetime(2025, 3, 30, 23, 0, tzinfo=UTC)

    assert remind(place, midnight - timedelta(minutes=1)).sent == 0
    assert remind(place, midnight).sent == 1


def test_send_reminders_leaves_out_who_is_not_to_be_reminded(place, fitting):
    order, client = fitting.garment.order, fitting.garment.order.client

    def unsaid(row, **changes):
        before = {name: getattr(row, name) for name in changes}
        type(row).objects.filter(pk=row.pk).update(**changes)
        sent = remind(place).sent
        type(row).objects.filter(pk=row.pk).update(**before)
        return sent

    assert unsaid(client, email="") == 0
    assert unsaid(client, reminded=False) == 0
    assert unsaid(order, cancelled_at=NOW) == 0
    assert unsaid(fitting, held_at=NOW) == 0
    assert unsaid(fitting, created_at=MONDAY) == 0
    other = make_garment(place.workshop)
    cancel_fitting(fitting=book_fitting(garment=other, starts_at=TEN + HOUR, now=NOW, by=place.ada), now=NOW)
    assert remind(place).sent == 1
    assert len(mail.outbox) == 1


def test_choose_reminders_by_the_client_and_by_the_owner(place, fitting):
    client = fitting.garment.order.client

    choose_reminders(client=client, reminded=False, now=NOW)
    refused = remind(place).sent
    client.refresh_from_db()
    edit_client(
        client=client, expected_version=client.version, name="Clara", email="clara@example.org", by=place.ada,
        now=NOW, reminded=True,
    )  # fmt: skip

    assert (refused, remind(place).sent) == (0, 1)


def test_a_reminder_that_the_mail_server_refused_goes_the_next_time(place, fitting, monkeypatch):
    other = make_garment(place.workshop)
    type(other.order.client).objects.update(email="clara@example.org")
    book_fitting(garment=other, starts_at=TEN + HOUR, now=NOW, by=place.ada)
    real = mail.EmailMessage.send
    refusals = iter([True, False, False])

    def send(message, *args, **kwargs):
        if next(refusals):
            raise smtplib.SMTPRecipientsRefused({})
        return real(message, *args, **kwargs)

    monkeypatch.setattr(mail.EmailMessage, "send", send)

    first, second = remind(place), remind(place)

    assert (first.sent, first.refused) == (1, ("Order 1: the mail server did not take it.",))
    assert (second.sent, second.refused) == (1, ())


def test_a_reminder_in_doubt_is_asked_about_and_never_sent_by_itself(place, fitting, run_jobs):
    noted = Letter.objects.create(
        order=fitting.garment.order, name="fitting_reminder", source_id=fitting.pk, begun_at=MONDAY
    )

    made = remind(place)

    noted.refresh_from_db()
    assert (made.sent, len(mail.outbox), noted.doubtful_at) == (0, 0, MONDAY)
    assert made.refused[0].startswith("Order 1: The computer stopped while it sent this letter")

    with time_machine.travel(MONDAY + HOUR, tick=False):
        settle_letter(letter=noted, arrived=False, by=place.ada, now=MONDAY + HOUR)
        run_jobs()
    assert len(mail.outbox) == 1
    assert Letter.objects.get().sent_at == MONDAY + HOUR


def test_reminders_go_by_themselves_in_the_morning_once_a_day(place, fitting, run_jobs):
    night = datetime(2025, 3, 31, 6, 59, tzinfo=UTC)  # 7:59 in Lisbon
    went = []
    for moment in (night, night + timedelta(minutes=1), night + HOUR, night + DAY + HOUR):
        with time_machine.travel(moment, tick=False):
            request_daily(now=moment)
            run_jobs()
        went.append(len(mail.outbox))

    assert went == [0, 1, 1, 1]
    assert Job.objects.filter(kind="fitting_reminders").count() == 2
