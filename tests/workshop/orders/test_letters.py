"""A letter goes once, whatever becomes of the worker; where nobody knows, the owner is asked."""

from __future__ import annotations

from smtplib import SMTPDataError

import pytest
from django.core import mail
from django.core.mail.backends.locmem import EmailBackend

from tests.workshop.orders.house import NOW, send, take
from workshop import jobs
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders import queries, services
from workshop.orders.models import Letter
from workshop.people.models import LogEntry


@pytest.fixture
def link(house):
    return send(house, take(house))


def sent_to() -> list[str]:
    return [address for letter in mail.outbox for address in letter.to]


def run_again(run_jobs) -> Job:
    """The same wish once more, as after a worker that died before it could note what it had done."""
    first = Job.objects.filter(kind="paper").latest("pk")
    again = jobs.request(kind="paper", key="again", workshop=first.workshop, params=first.params, now=NOW)
    run_jobs()
    again.refresh_from_db()
    return again


class Breaks(EmailBackend):
    """A mail server that takes the letter, and the worker dies before it hears of it."""

    def send_messages(self, messages):
        super().send_messages(messages)
        raise KeyboardInterrupt


class Refuses(EmailBackend):
    def send_messages(self, messages):
        raise SMTPDataError(451, b"try again later")


class Away(EmailBackend):
    def open(self):
        raise ConnectionRefusedError


def broken_off(settings, run_jobs) -> None:
    settings.EMAIL_BACKEND = f"{__name__}.Breaks"
    with pytest.raises(KeyboardInterrupt):
        run_jobs()
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"


@pytest.fixture
def doubtful(link, settings, run_jobs) -> Letter:
    broken_off(settings, run_jobs)
    run_jobs()
    return Letter.objects.get()


def test_a_letter_that_went_is_not_sent_again(link, run_jobs):
    run_jobs()

    again = run_again(run_jobs)

    assert (again.state, sent_to()) == ("done", ["marta@example.org"])
    assert Letter.objects.get().sent_at is not None


def test_a_letter_broken_off_is_not_sent_again_but_put_to_the_owner(house, link, doubtful):
    job = Job.objects.get(kind="paper")
    assert (job.state, sent_to()) == ("failed", ["marta@example.org"])
    assert job.message.endswith("Say on the order's page whether it arrived.")
    assert list(queries.doubtful_letters(house.workshop)) == [doubtful]
    assert doubtful.order == link.order


@pytest.mark.parametrize(("arrived", "letters"), [(True, 1), (False, 2)])
def test_settle_letter_takes_the_owners_word(arrived, letters, house, doubtful, run_jobs):

    services.settle_letter(letter=doubtful, arrived=arrived, by=house.owner, now=NOW)
    run_jobs()

    assert len(sent_to()) == letters
    assert Letter.objects.get().sent_at is not None
    assert not queries.doubtful_letters(house.workshop).exists()
    words = "Said that the letter arrived" if arrived else "Had the letter sent again"
    assert LogEntry.objects.get(action="settle letter").summary == words


def test_settle_letter_needs_a_doubt_and_the_owner(house, link, run_jobs):
    run_jobs()
    letter = Letter.objects.get()

    with pytest.raises(Refusal, match="no longer in doubt"):
        services.settle_letter(letter=letter, arrived=False, by=house.owner, now=NOW)
    with pytest.raises(Refusal, match="Only the owner"):
        services.settle_letter(letter=letter, arrived=False, by=house.apprentice, now=NOW)


@pytest.mark.parametrize("trouble", ["Refuses", "Away"])
def test_a_letter_that_was_not_taken_is_tried_again(trouble, link, settings, run_jobs):
    settings.EMAIL_BACKEND = f"{__name__}.{trouble}"
    run_jobs()
    waiting = Job.objects.get(kind="paper").state
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    noted = Letter.objects.count()

    Job.objects.update(due_at=NOW)
    run_jobs()

    assert (waiting, noted) == ("waiting", 0)
    assert sent_to() == ["marta@example.org"]
