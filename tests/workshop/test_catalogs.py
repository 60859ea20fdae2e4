"""Every catalog has words for all that a customer may be told."""

from __future__ import annotations

import re

import pytest
from django.conf import settings
from django.utils import translation

from drafting.styles import STYLES
from workshop.management.catalogs import Message, languages_kept, messages, read_catalog

FOLDERS = ["de", "es", "fr"]
KEPT = re.compile(r"%\(\w+\)s|</?\w+[^>]*>")
"""What must come through a translation: values by their names, and the marks of a page."""


@pytest.fixture(scope="module")
def asked():
    return set(messages())


@pytest.fixture(scope="module", params=FOLDERS)
def catalog(request):
    return read_catalog(request.param)


def rows_of(catalog):
    return [row for row in catalog if row.id]


def strings(row):
    """The words of a row, one for each of the language's numbers."""
    return row.string if isinstance(row.string, tuple) else (row.string,)


def test_the_languages_are_english_and_those_with_a_catalog():
    assert languages_kept() == FOLDERS
    assert [code for code, _ in settings.LANGUAGES] == ["en", *FOLDERS]


def test_messages_are_found_in_code_in_templates_and_in_the_registries(asked):
    assert {
        Message("", "Deposit invoice %(number)s"),
        Message("", "a day", "%(days)s days"),
        Message("", "No time is free before the day it is due: %(please_call)s."),
        Message("", "It is being sewn."),
        Message("paid by", "bank transfer"),
    } <= asked
    for style in STYLES.values():
        assert Message("style", style.title) in asked
        for choice in style.choices:
            assert Message("choice", choice.title) in asked
            assert {Message(choice.title, words) for _, words in choice.options} <= asked


def test_a_catalog_has_words_for_every_message_and_for_no_other(asked, catalog):
    assert {(row.context or "", row.id) for row in rows_of(catalog)} == {
        (row.context, row.id) for row in asked
    }
    assert [row.id for row in rows_of(catalog) if row.fuzzy or not all(strings(row))] == []


def test_words_keep_the_placeholders_of_their_message(catalog):
    for row in rows_of(catalog):
        many = row.id[-1] if isinstance(row.id, tuple) else row.id
        assert sorted(KEPT.findall(strings(row)[-1])) == sorted(KEPT.findall(many))


def test_what_is_spoken_is_what_the_catalog_says(catalog):
    """Where this fails the compiled catalog is an old one: ``.ci/prepare run`` makes it anew."""
    with translation.override(str(catalog.locale)):
        for row in rows_of(catalog):
            if isinstance(row.id, str):
                said = (
                    translation.pgettext(row.context, row.id) if row.context else translation.gettext(row.id)
                )
                assert said == row.string
