"""The workshop's settings, its people, and the book of clients and wearers."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from drafting.house import HOUSE_GROUPS, HOUSE_RULES
from tests.workshop.desk import made
from workshop.jobs.models import Job
from workshop.people.models import OpeningHours, Staff


def as_shown(browser, address, form="form") -> dict[str, object]:
    fields = browser.get(address).context[form]
    values = {field.html_name: field.value() for field in fields}
    return {name: value for name, value in values.items() if value is not None and value is not False}


def version_of(house) -> int:
    house.workshop.refresh_from_db()
    return house.workshop.version


MONDAY = {"opens-0-0": "09:00", "closes-0-0": "13:00"}


def plans_wished() -> int:
    return Job.objects.filter(kind="refresh_plan").count()


def test_house_rules_stand_each_once_under_their_heading(owner):
    page = owner.get(reverse("desk:house")).content.decode()

    parts = re.findall(r"<legend>(.+?)</legend>(.*?)</fieldset>", page, flags=re.DOTALL)
    shown = {title: re.findall(r'<input type="text" name="([a-z_]+)"', part) for title, part in parts}
    assert shown == {title: [rule.name for rule in rules] for title, rules in HOUSE_GROUPS.items()}
    assert sorted(name for names in shown.values() for name in names) == sorted(HOUSE_RULES)


def test_settings_left_as_they_were_shown_keep_them(house, owner):
    address = reverse("desk:settings")
    before = as_shown(owner, address)

    answer = owner.post(address, before)

    assert made.told(answer) == ["Saved. Quotes and invoices that are out keep what they said."]
    assert as_shown(owner, address) == {**before, "expected_version": before["expected_version"] + 1}


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": ""}, "name"),
        ({"name": "a\x00b"}, "name"),
        ({"address": "x" * 20_000}, "address"),
        ({"email": "nobody"}, "email"),
        ({"currency": "XXX"}, "currency"),
        ({"currency": "EURO"}, "currency"),
        ({"language": "nl"}, "language"),
        ({"length_unit": "ell"}, "length_unit"),
        ({"time_zone": "Mars/Phobos"}, "time_zone"),
        ({"tax_rate": "-1"}, "tax_rate"),
        ({"tax_rate": "NaN"}, "tax_rate"),
        ({"deposit_share": "101"}, "deposit_share"),
        ({"quote_valid_days": "0"}, "quote_valid_days"),
        ({"quote_valid_days": "9" * 40}, "quote_valid_days"),
        ({"days_to_come": "-1"}, "days_to_come"),
        ({"days_to_come": "366"}, "days_to_come"),
        ({"fitting_minutes": "9"}, "fitting_minutes"),
        ({"quote_terms": "x" * 100_000}, "quote_terms"),
    ],
)
def test_settings_refuse_at_the_field(changes, field, house, owner):
    address = reverse("desk:settings")
    before = as_shown(owner, address)

    answer = owner.post(address, {**before, **changes})

    assert answer.status_code == 200
    assert list(made.faults(answer)) == [field]
    assert as_shown(owner, address) == before


def test_set_hours_keeps_them_and_asks_for_a_plan(house, owner):
    Job.objects.all().delete()

    answer = owner.post(
        reverse("desk:set-hours"),
        {"expected_version": version_of(house), **MONDAY, "opens-0-1": "14:00", "closes-0-1": "18:00"},
    )

    assert made.told(answer) == ["The opening hours are kept."]
    assert OpeningHours.objects.filter(workshop=house.workshop).count() == 2
    assert plans_wished() == 1


@pytest.mark.parametrize(
    ("form", "words"),
    [
        ({}, "Enter at least one span of opening hours; work is planned into them."),
        ({"opens-0-0": "09:00"}, "Monday: write both when it opens and when it closes, or neither."),
        ({"opens-0-0": "18:00", "closes-0-0": "09:00"}, "Monday closes before it opens; exchange the times."),
        (
            {**MONDAY, "opens-0-1": "12:00", "closes-0-1": "18:00"},
            "Two spans of Monday overlap; join them.",
        ),
    ],
)
def test_set_hours_refuses(form, words, house, owner):
    answer = owner.post(reverse("desk:set-hours"), {"expected_version": version_of(house), **form})

    assert made.faults(answer, "hours_form")["__all__"] == [words]
    assert OpeningHours.objects.filter(workshop=house.workshop).count() == 7


@pytest.mark.parametrize("typed", ["25:00", "nine", "9\x00", "-1:00"])
def test_set_hours_refuses_what_is_no_time(typed, house, owner):
    answer = owner.post(reverse("desk:set-hours"), {"opens-2-0": typed, "closes-2-0": "17:00"})

    assert "opens-2-0" in made.faults(answer, "hours_form")


def test_close_days_and_reopen_them(house, owner):
    Job.objects.all().delete()
    day = timezone.now().date() + timedelta(days=30)

    closed = owner.post(reverse("desk:close-days"), {"from_on": day, "to_on": day, "reason": "fair"})
    closure = house.workshop.closures.get()
    again = owner.post(reverse("desk:reopen-days", args=[closure.pk]))

    assert made.told(closed) == ["Noted. No fitting and no work is planned on those days."]
    assert made.told(again) == ["Open again."]
    assert house.workshop.closures.count() == 0
    assert plans_wished() == 1


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"from_on": ""}, "from_on"),
        ({"to_on": "2020-01-01"}, "to_on"),
        ({"to_on": "9999-12-31"}, "to_on"),
        ({"staff": "999999"}, "staff"),
        ({"reason": "x" * 121}, "reason"),
    ],
)
def test_close_days_refuses_at_the_field(changes, field, house, owner):
    day = timezone.now().date() + timedelta(days=30)

    answer = owner.post(reverse("desk:close-days"), {"from_on": day, "to_on": day, **changes})

    assert list(made.faults(answer, "closure_form")) == [field]
    assert house.workshop.closures.count() == 0


def test_close_days_does_not_know_staff_of_another_workshop(house, owner, next_door):
    day = timezone.now().date() + timedelta(days=30)

    answer = owner.post(
        reverse("desk:close-days"), {"from_on": day, "to_on": day, "staff": next_door.owner.pk}
    )

    assert list(made.faults(answer, "closure_form")) == ["staff"]


PERSON = {
    "name": "Bo",
    "role": "apprentice",
    "skills": ["sew", "press"],
    "hourly_wage": "12.50",
    "speed": "0.5",
    "weekly_hours": "37.5",
    "username": "bo",
    "password": "long-needle-77",
}


def test_add_staff_lets_somebody_sign_in(house, owner, visitor):
    answer = owner.post(reverse("desk:add-staff"), PERSON)

    bo = Staff.objects.get(name="Bo")
    assert made.told(answer) == ["Bo can sign in now."]
    assert (bo.workshop, bo.weekly_minutes, bo.skills) == (house.workshop, 2250, ["sew", "press"])
    assert visitor.post("/sign-in/", {"username": "bo", "password": "long-needle-77"}).status_code == 302


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": ""}, "name"),
        ({"role": "king"}, "role"),
        ({"skills": ["sew", "juggle"]}, "skills"),
        ({"speed": "0"}, "speed"),
        ({"speed": "-1"}, "speed"),
        ({"speed": "NaN"}, "speed"),
        ({"hourly_wage": "-1"}, "hourly_wage"),
        ({"weekly_hours": "169"}, "weekly_hours"),
        ({"times-0": "nine to one"}, "times-0"),
        ({"times-3": "13:00 to 9:00"}, "times-3"),
        ({"times-6": "9:00 to 13:00, 12:00 to 15:00"}, "times-6"),
        ({"times-6": "x" * 121}, "times-6"),
        ({"password": "short"}, "password"),
        ({"username": ""}, "username"),
        ({"username": "a\x00b"}, "username"),
    ],
)
def test_add_staff_refuses_at_the_field(changes, field, house, owner):
    answer = owner.post(reverse("desk:add-staff"), {**PERSON, **changes})

    assert list(made.faults(answer)) == [field]
    assert Staff.objects.filter(workshop=house.workshop).count() == 2


def test_working_times_are_kept_shown_and_asked_a_plan_for(house, owner):
    address = reverse("desk:edit-staff", args=[house.apprentice.pk])
    Job.objects.all().delete()

    answer = owner.post(address, {**as_shown(owner, address), "times-1": "9-13, 14-17:30", "times-4": "9-12"})

    house.apprentice.refresh_from_db()
    assert made.told(answer) == ["Saved."]
    assert house.apprentice.working_week == [
        [1, "09:00", "13:00"],
        [1, "14:00", "17:30"],
        [4, "09:00", "12:00"],
    ]
    shown = as_shown(owner, address)
    assert [shown.get(f"times-{day}") for day in (0, 1, 4)] == [
        None,
        "09:00 to 13:00, 14:00 to 17:30",
        "09:00 to 12:00",
    ]
    assert plans_wished() == 1


def test_add_staff_twice_is_refused_at_the_name(house, owner):
    owner.post(reverse("desk:add-staff"), PERSON)

    answer = owner.post(reverse("desk:add-staff"), PERSON)

    assert list(made.faults(answer)) == ["username"]


def test_last_owner_cannot_step_down(house, owner):
    address = reverse("desk:edit-staff", args=[house.owner.pk])

    answer = owner.post(address, {**as_shown(owner, address), "role": "apprentice"})

    house.owner.refresh_from_db()
    assert answer.status_code == 200
    assert house.owner.role == "owner"


def test_client_is_changed_and_faults_keep_what_was_typed(house, owner):
    address = reverse("desk:client", args=[house.client.pk])
    shown = as_shown(owner, address)

    wrong = owner.post(address, {**shown, "email": "nobody", "note": "likes blue"})
    right = owner.post(address, {**shown, "phone": "+44 20 7946 0000"})

    house.client.refresh_from_db()
    assert list(made.faults(wrong)) == ["email"]
    assert wrong.context["form"]["note"].value() == "likes blue"
    assert made.told(right) == ["Saved. Papers that were sent keep what they said."]
    assert (house.client.phone, house.client.note) == ("+44 20 7946 0000", "")


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": ""}, "name"),
        ({"born_on": "2026-02-30"}, "born_on"),
        ({"born_on": "9999-12-31"}, "born_on"),
        ({"fit_notes": "x" * 100_000}, "fit_notes"),
        ({"guardian": "a\x00b"}, "guardian"),
    ],
)
def test_wearer_refuses_at_the_field(changes, field, house, owner):
    address = reverse("desk:wearer", args=[house.wearer.pk])

    answer = owner.post(address, {**as_shown(owner, address), **changes})

    assert answer.status_code == 200
    assert list(made.faults(answer)) == [field]


def test_wearer_is_erased_only_with_a_reason_and_after_the_work(house, owner):
    order = made.take(house)
    address = reverse("desk:erase-wearer", args=[house.wearer.pk])

    without = owner.post(address, {"reason": ""})
    too_early = owner.post(address, {"reason": "asked"})
    owner.post(reverse("desk:cancel-order", args=[order.number]), {"reason": "no wedding"})
    done = owner.post(address, {"reason": "asked by the wearer"})

    assert made.told(without) == ["Write why the data are erased."]
    assert made.told(too_early) == ["Grey dress is still in work; deliver it or cancel its order first."]
    assert made.told(done) == [
        "Erased. Issued papers stay, as the law asks of papers; check your local rules."
    ]
    house.wearer.refresh_from_db()
    assert house.wearer.erased_at is not None
    for path in (order_page(order), f"/desk/wearers/{house.wearer.pk}/", f"/desk/clients/{house.client.pk}/"):
        page = owner.get(path)
        assert page.status_code == 200


def order_page(order) -> str:
    return reverse("desk:order", args=[order.number])
