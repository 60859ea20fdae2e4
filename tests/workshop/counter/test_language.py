"""The letter in the workshop's language, whatever the customer does there."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from tests.leftovers import english_left
from tests.workshop.counter.letters import GUESSED, letter
from tests.workshop.counter.test_fitting import shown_times
from tests.workshop.surfaces import told, words
from workshop.planning.models import Fitting

TYPED = (
    "Thread & Tide hello@thread.example Marta Quist Fenna Grey dress wedding VAT EUR",
    "Alterations after the second fitting are charged by the hour.",
    "Satin, Fusible, light",
    "PDF",
)


@pytest.fixture
def speak(house):
    def speak(language):
        house.workshop.language = language
        house.workshop.save(update_fields=["language"])

    return speak


def shown(visitor, link, speak, language):
    speak(language)
    page = visitor.get(letter(link))
    assert f'<html lang="{language}">' in page.content.decode()
    return words(page)


@pytest.mark.parametrize("language", ["de", "fr", "es"])
def test_the_letter_leaves_nothing_english(link, visitor, speak, language):
    english = shown(visitor, link, speak, "en")
    other = shown(visitor, link, speak, language)

    assert english_left(english, other, language, TYPED) == set()
    assert "Thank you for coming to us." in english


def test_an_answer_and_a_fitting_are_told_in_german(link, visitor, speak):
    speak("de")
    refused = visitor.post(letter(link, "accept"), {"version": "1"})
    accepted = visitor.post(letter(link, "accept"), {"version": "1", "name": "Marta"}, follow=True)
    garment = link.order.garments.get()
    first, second, *_ = shown_times(accepted)
    none = visitor.post(letter(link, "book", garment.pk), follow=True)
    booked = visitor.post(letter(link, "book", garment.pk), {"starts_at": first}, follow=True)
    again = visitor.post(letter(link, "book", garment.pk), {"starts_at": second}, follow=True)
    fitting = Fitting.objects.get()
    file = visitor.get(letter(link, "calendar", fitting.pk)).content.decode()

    assert "Dieses Feld ist zwingend erforderlich." in words(refused)
    assert told(accepted) == [
        "Vielen Dank. Ihre Antwort ist bei uns; wählen Sie nun einen Termin zur Anprobe."
    ]
    assert told(none) == ["Bitte wählen Sie einen der Termine."]
    assert told(booked) == ["Ihre Anprobe ist vereinbart. Unten können Sie sie in Ihren Kalender eintragen."]
    assert told(again) == [
        "Für Grey dress ist schon eine Anprobe vereinbart: verlegen Sie sie oder geben Sie den Termin frei."
    ]
    assert 'data-ask="Diesen Termin freigeben?"' in again.content.decode()
    assert 'aria-label="Schritt 2 von 6: Schnitt"' in again.content.decode()
    assert "SUMMARY:Anprobe bei Thread & Tide" in file
    english = shown(visitor, link, speak, "en")
    assert english_left(english, shown(visitor, link, speak, "de"), "de", TYPED) == set()


def test_a_form_without_its_mark_is_refused_in_the_browsers_language(link):
    careful = Client(enforce_csrf_checks=True)
    refused = careful.post(letter(link, "accept"), {"version": "1"}, headers={"accept-language": "fr"})

    assert refused.status_code == 403
    assert re.search(r"<h1>(.+)</h1>", refused.content.decode()).group(1) == "Non envoyé"


def test_an_address_that_shows_nothing_says_so_in_the_browsers_language(visitor, db):
    german = visitor.get(f"/c/{GUESSED}/", headers={"accept-language": "de-AT,en;q=0.5"})
    unknown = visitor.get(f"/c/{GUESSED}/", headers={"accept-language": "ja"})

    assert re.search(r"<h1>(.+)</h1>", german.content.decode()).group(1) == "Hier ist nichts"
    assert re.search(r"<h1>(.+)</h1>", unknown.content.decode()).group(1) == "Nothing here"
