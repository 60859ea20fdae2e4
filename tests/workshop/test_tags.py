"""How values are written on pages."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django import forms

from drafting.body import CATALOGUE
from workshop.desk.forms.numbers import NumberField
from workshop.templatetags import workshop_tags as tags


@pytest.mark.parametrize(("minutes", "words"), [(0, "0 h"), (5020, "84 h"), (7194, "120 h"), (29, "0 h")])
def test_whole_hours_leave_the_minutes_out(minutes, words):
    assert tags.whole_hours(minutes) == words


@pytest.mark.parametrize(
    ("stored", "words"), [("18.00", "18"), ("0.75", "0.75"), ("0.90", "0.9"), ("310.00", "310"), ("0", "0")]
)
def test_plain_leaves_out_the_noughts_of_the_column(stored, words):
    assert tags.plain(Decimal(stored)) == words
    assert NumberField().prepare_value(Decimal(stored)) == words


def test_a_field_is_long_where_a_select_offers_long_words():
    class Asked(forms.Form):
        brief = forms.ChoiceField(choices=[("a", "short")])
        wordy = forms.ChoiceField(choices=[("a", "short"), ("b", "concealed: no stitching shows")])
        text = forms.CharField(initial="concealed: no stitching shows")

    assert [tags.is_long(field) for field in Asked()] == [False, True, False]


def test_number_field_keeps_what_was_typed():
    assert NumberField().prepare_value("18,0x") == "18,0x"
    assert NumberField().prepare_value(3.0) == "3"


@pytest.mark.parametrize(
    ("amount", "words"),
    [("45", "EUR\u00a045.00 more"), ("-0.5", "EUR\u00a00.50 less"), ("0", "the same price")],
)
def test_more_money_says_which_way_a_price_differs(amount, words):
    assert tags.more_money(Decimal(amount), "EUR") == words


@pytest.mark.parametrize(
    ("price", "words"), [("34.500", "34.50"), ("0.0068", "0.0068"), ("3", "3.00"), ("1200.000", "1200.00")]
)
def test_unit_price_has_two_decimals_or_what_it_needs(price, words):
    assert tags.unit_price(price) == words


@pytest.mark.parametrize(
    ("mm", "unit", "words"), [(17515.0, "m", "17.52 m"), (0.0, "m", "0.00 m"), (1371.6, "yd", "1.5 yd")]
)
def test_cloth_length_is_to_the_centimetre_or_in_yards(mm, unit, words):
    assert tags.cloth_length(mm, unit) == words


def test_month_name_and_measurement_word():
    assert tags.month_name(11) == "November"
    assert tags.measurement_word("shoulder_length") == CATALOGUE["shoulder_length"].word == "shoulder"
    assert tags.measurement_word("no_such_thing") == "no such thing"
