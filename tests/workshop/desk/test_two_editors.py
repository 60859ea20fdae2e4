"""Two people who opened one page: the second to save is told, keeps what was typed, and may save again."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from tests.workshop.desk import made
from workshop.planning import services as planning


def opened(browser, address, form) -> dict[str, object]:
    """Every field of a form as the page sends it to the browser."""
    values = {field.html_name: field.value() for field in browser.get(address).context[form]}
    return {name: value for name, value in values.items() if value is not None and value is not False}


def page(house, kind) -> str:
    rows = {"client": house.client, "wearer": house.wearer, "edit-staff": house.apprentice}
    return reverse(f"desk:{kind}", args=[rows[kind].pk] if kind in rows else [])


@dataclass(frozen=True)
class Edit:
    """One field of a page, as two people fill it in; ``held`` is what the second is told of the first."""

    kind: str
    field: str
    theirs: Any
    mine: Any
    held: dict[str, Any]


EDITS = [
    Edit("client", "phone", "111", "222", {"Telephone": "111"}),
    Edit("client", "name", "Ada", "Bea", {"Name": "Ada"}),
    Edit("wearer", "fit_notes", "narrow back", "long back", {"Fit notes": "narrow back"}),
    Edit("edit-staff", "role", "owner", "apprentice", {"Role": "owner"}),
    Edit("edit-staff", "skills", ["sew"], ["cut", "press"], {"Skills": "sew"}),
    Edit("edit-staff", "weekly_hours", "20", "30", {"Hours a week": Decimal("20.00")}),
    Edit("edit-staff", "times-0", "09:00 to 12:00", "13:00 to 17:00", {"Monday": "09:00 to 12:00"}),
    Edit("settings", "name", "Tide", "Thread", {"Name": "Tide"}),
    Edit("settings", "length_unit", "in", "mm", {"Lengths are written in": "inches"}),
]


@pytest.mark.parametrize("edit", EDITS, ids=lambda edit: f"{edit.kind}-{edit.field}")
def test_the_second_editor_is_told_and_loses_nothing(edit, house, owner):
    address, field, mine = page(house, edit.kind), edit.field, edit.mine
    shown = opened(owner, address, "form")
    first = owner.post(address, {**shown, field: edit.theirs})

    second = owner.post(address, {**shown, field: mine})

    form = second.context["form"]
    assert (first.status_code, second.status_code) == (302, 200)
    assert "Somebody else changed this while you were writing." in second.text
    assert dict(form.meanwhile) == edit.held
    assert (form[field].value(), form.errors) == (mine, {})
    assert opened(owner, address, "form")[field] != mine
    again = owner.post(address, {**shown, field: mine, "expected_version": form["expected_version"].value()})
    assert again.status_code == 302
    assert str(opened(owner, address, "form")[field]).startswith(str(mine))


def test_the_second_to_set_the_hours_is_told(house, owner):
    shown = opened(owner, reverse("desk:settings"), "hours_form")
    address = reverse("desk:set-hours")
    owner.post(address, {**shown, "opens-0-0": "08:00"})

    second = owner.post(address, {**shown, "opens-0-0": "10:00"})

    form = second.context["hours_form"]
    assert [(label, f"{time:%H:%M}") for label, time in form.meanwhile] == [("Monday opens", "08:00")]
    assert "Somebody else changed this while you were writing." in second.text
    again = owner.post(
        address, {**shown, "opens-0-0": "10:00", "expected_version": form["expected_version"].value()}
    )
    assert made.told(again) == ["The opening hours are kept."]


def test_what_a_fitting_taught_is_not_written_over(house, owner):
    """The note of a fitting lands on the wearer's page while the owner has it open."""
    garment = made.to_cut(house)
    fitting = made.book(house, garment)
    address = page(house, "wearer")
    shown = opened(owner, address, "form")
    now = fitting.starts_at
    planning.hold_fitting(
        fitting=fitting, outcome="fits", notes="left shoulder lower", alterations=[], by=house.owner, now=now
    )

    answer = owner.post(address, {**shown, "name": "Marta de Wit"})

    house.wearer.refresh_from_db()
    assert "left shoulder lower" in dict(answer.context["form"].meanwhile)["Fit notes"]
    assert "left shoulder lower" in house.wearer.fit_notes


@pytest.mark.parametrize("version", ["", "x", "1.5"])
def test_a_broken_version_can_be_sent_again(version, house, owner):
    address = page(house, "client")
    shown = {**opened(owner, address, "form"), "phone": "333"}

    answer = owner.post(address, {**shown, "expected_version": version})

    assert made.faults(answer)["__all__"] == [
        "The page was damaged on its way here. Look through it and send it once more."
    ]
    mended = answer.context["form"]["expected_version"].value()
    assert owner.post(address, {**shown, "expected_version": mended}).status_code == 302
