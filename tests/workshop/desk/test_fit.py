"""The page of a wearer's fit notes: amounts in the workshop's unit, a minus for the other way."""

from __future__ import annotations

import pytest
from django.urls import reverse

from drafting.body import FIT_NOTES
from drafting.units import Unit
from tests.workshop.desk import made
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


def test_a_garment_says_when_its_draft_was_made_with_other_fit_notes(house, owner):
    draft = made.drafted(house)
    address = reverse("desk:garment", args=[draft.garment_id])

    def changed() -> bool:
        return "changed since this draft" in owner.get(address).text

    before = changed()
    note(house, owner, sway_back="10 mm")
    after = changed()
    owner.post(reverse("desk:draft-garment", args=[draft.garment_id]))

    assert (before, after, changed()) == (False, True, False)


def test_a_garment_that_is_sewn_is_first_sent_back_and_a_delivered_one_left_alone(house, owner):
    draft = made.drafted(house)
    note(house, owner, sway_back="10 mm")
    pages = {}
    for stage in ("fit", "delivered"):
        draft.garment.stage = stage
        draft.garment.save(update_fields=["stage"])
        pages[stage] = owner.get(reverse("desk:garment", args=[draft.garment_id])).text

    assert "send it back to cut" in pages["fit"]
    assert "Draft it again" not in pages["fit"]
    assert "changed since this draft" not in pages["delivered"]


def test_a_fitting_leads_to_the_wearers_fit_notes(house, owner):
    fitting = made.book(house, made.to_cut(house))

    page = owner.get(reverse("desk:fitting", args=[fitting.pk]))

    assert reverse("desk:fit", args=[house.wearer.pk]) in page.text


def note(house, owner, **typed) -> None:
    house.wearer.refresh_from_db()
    form = {"expected_version": house.wearer.version, **typed}
    assert owner.post(reverse("desk:fit", args=[house.wearer.pk]), form).status_code == 302
