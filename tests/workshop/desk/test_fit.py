"""The page of a wearer's fit notes: amounts in the workshop's unit, a minus for the other way."""

from __future__ import annotations

import pytest
from django.urls import reverse

from drafting.body import FIT_NOTES
from drafting.units import Unit
from workshop.desk.forms.fit import FitForm


def posted(fit=None, **typed) -> FitForm:
    return FitForm({"expected_version": "1", **typed}, unit=Unit.IN, fit=fit or {})


@pytest.mark.parametrize(
    ("typed", "amount"),
    [("3/8", 9.525), ("-1/4", -6.35), ("\u22121/4", -6.35), ("1 cm", 10.0), ("- 5 mm", -5.0)],
)
def test_form_reads_an_amount_with_its_sign(typed, amount):
    form = posted(front_length=typed)

    assert form.is_valid()
    assert form.cleaned_data["fit"] == {"front_length": pytest.approx(amount)}


def test_form_reads_degrees_with_a_comma_and_leaves_out_what_is_empty():
    form = posted(shoulder_slope="-2,5", sway_back="", rounded_back="0")

    assert form.is_valid()
    assert form.cleaned_data["fit"] == {"shoulder_slope": -2.5, "rounded_back": 0.0}


def test_form_keeps_an_amount_that_was_left_as_it_was_shown():
    held = {"sway_back": 10.0}
    shown = FitForm(unit=Unit.IN, fit=held).fields["sway_back"].initial

    form = posted(fit=held, sway_back=shown)

    assert form.is_valid()
    assert form.cleaned_data["fit"] == held


def test_form_says_what_it_cannot_read():
    form = posted(shoulder_slope="steep", sway_back="much")

    assert not form.is_valid()
    assert set(form.errors) == {"shoulder_slope", "sway_back"}


def test_notes_are_kept_and_shown_on_the_wearers_page(house, owner):
    wearer = house.wearer
    address = reverse("desk:fit", args=[wearer.pk])

    answer = owner.post(address, {"expected_version": wearer.version, "sway_back": "10 mm"}, follow=True)

    wearer.refresh_from_db()
    assert wearer.fit == {"sway_back": 10.0}
    assert FIT_NOTES["sway_back"].title in answer.text


def test_an_amount_out_of_its_limits_is_told_beside_its_field(house, owner):
    address = reverse("desk:fit", args=[house.wearer.pk])

    answer = owner.post(address, {"expected_version": house.wearer.version, "sway_back": "90 mm"})

    assert answer.status_code == 200
    assert "is not between 0 and 20 mm" in str(answer.context["form"].errors["sway_back"])


def test_an_apprentice_does_not_change_fit_notes(house, apprentice):
    assert apprentice.get(reverse("desk:fit", args=[house.wearer.pk])).status_code == 403
