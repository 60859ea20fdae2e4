"""Choosing a style: only its own choices are asked, and it is drawn as they change."""

from __future__ import annotations

import json
import re

import pytest
from django.urls import reverse

from drafting.styles import STYLES
from tests.workshop.desk import made
from workshop.orders.models import Draft

CHOICES, DRAWN = reverse("desk:style-choices"), reverse("desk:draw-style")
STYLE = "notched-collar-dress"


@pytest.mark.parametrize("style", STYLES)
def test_choices_are_those_of_the_style_shown(style, owner):
    form = owner.get(CHOICES, {"style": style}).context["style_form"]

    assert [field.name for field in form.choice_fields()] == [
        f"{style}--{choice.name}" for choice in STYLES[style].choices
    ]


def test_choices_of_an_unknown_style_are_those_of_the_first(owner):
    form = owner.get(CHOICES, {"style": "cape"}).context["style_form"]

    assert form.shown is next(iter(STYLES.values()))


def test_choices_say_which_cannot_go_together(owner):
    style = next(style for style in STYLES.values() if style.clashes)

    page = owner.get(CHOICES, {"style": style.name}).text

    listed = re.search(r'<script id="clashes" type="application/json">(.*?)</script>', page)
    assert [row["reason"] for row in json.loads(listed.group(1))] == [c.reason for c in style.clashes]


@pytest.mark.parametrize("style", STYLES)
def test_every_style_is_drawn_for_a_size(style, owner):
    context = owner.get(DRAWN, {"style": style, "drawn_size": "woman-100-168"}).context

    assert "faults" not in context
    assert context["whose"] == "a woman, bust 100 cm, 168 cm tall"
    assert context["pattern"].style == style
    assert context["failed"] == []
    assert len(context["pieces"]) == len(context["pattern"].pieces)
    assert context["garment_picture"].startswith("<svg")


def test_a_measured_wearer_is_drawn_for_themselves(house, owner):
    garment = made.measured(house)

    context = owner.get(DRAWN, {"style": STYLE, "drawn_for": garment.pk}).context

    assert context["whose"] == garment.wearer.name
    assert context["pattern"].body["bust_girth"] == garment.measurements.values["bust_girth"]
    assert Draft.objects.count() == 0


def test_another_workshops_wearer_is_not_drawn(next_door, owner):
    garment = made.measured(next_door)

    assert owner.get(DRAWN, {"style": STYLE, "drawn_for": garment.pk}).context["whose"].startswith("a woman")


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({f"{STYLE}--skirt_length": "two ells"}, "Skirt length"),
        ({f"{STYLE}--skirt_length": "9 mm"}, "is not between"),
        ({f"{STYLE}--pleats": "12", "drawn_size": "child-80"}, "pleats"),
        ({"style": "cape"}, "cape"),
        ({"style": ""}, "required"),
    ],
)
def test_what_cannot_be_drawn_is_told_in_words(typed, words, owner):
    answer = owner.get(DRAWN, {"style": STYLE, **typed})

    assert answer.status_code == 200
    assert words in " ".join(answer.context["faults"])
    assert "garment_picture" not in answer.context


def test_house_rules_are_tried_for_the_drawing_and_not_kept(house, owner):
    def bust_ease(tried):
        pattern = owner.get(DRAWN, {"style": STYLE, **tried}).context["pattern"]
        return next(level.ease for level in pattern.levels if level.name == "bust")

    rules = shown_rules(owner)

    assert bust_ease({**rules, "house-bust_ease": "10 cm"}) == pytest.approx(100.0)
    assert bust_ease(rules) == bust_ease({})


def shown_rules(owner) -> dict[str, object]:
    """The house rules as the page offers them for trying."""
    page = owner.get(reverse("desk:take-order"))
    return {field.html_name: field.value() for field in page.context["house_form"]}


def test_a_house_rule_that_cannot_be_read_is_named(house, owner):
    tried = {**shown_rules(owner), "house-bust_ease": "wide"}

    answer = owner.get(DRAWN, {"style": STYLE, **tried})

    assert answer.context["faults"][0].startswith("Ease at the bust, cm: ")


def test_an_apprentice_does_not_choose_styles(apprentice):
    assert [apprentice.get(address).status_code for address in (CHOICES, DRAWN)] == [403, 403]


def test_looking_at_another_styles_choices_stores_nothing(house, owner):
    other = next(name for name in STYLES if name != STYLE)

    answer = owner.post(reverse("desk:take-order"), {"style": other, "title": "Blue", "look": "style"})

    assert answer.context["style_form"].shown.name == other
    assert answer.context["style_form"]["title"].value() == "Blue"
    assert house.workshop.orders.count() == 0


def test_a_choice_that_makes_no_difference_is_marked_for_the_page(owner):
    form = owner.get(CHOICES, {"style": "party-dress"}).context["style_form"]

    attributes = form.fields["party-dress--belt_width"].widget.attrs

    assert attributes["data-only-with"] == "party-dress--belt"
    assert json.loads(attributes["data-values"]) == ["tied", "straight"]
    assert "data-only-with" not in form.fields["party-dress--belt"].widget.attrs


def test_choices_that_are_not_sent_are_the_default(owner):
    context = owner.get(DRAWN, {"style": "party-dress", "party-dress--sleeve": "none"}).context

    assert context["pattern"].choices["belt_width"] == 0.0
