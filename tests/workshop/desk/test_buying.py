"""The page of what to buy, and its buttons."""

from __future__ import annotations

import re
import uuid
from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from costing.models import Notion, StockMove
from costing.queries import reserved_for, stock_of
from costing.services import return_cloth
from tests.workshop.desk import made
from tests.workshop.orders import house as built
from workshop.orders import queries
from workshop.orders.models import Parcel
from workshop.pages import DAMAGED, SENT_BEFORE
from workshop.planning.models import Task

PAGE = "desk:buying"


def waiting(house):
    return built.garment_of(made.accepted(house).order)


def forms(page: str) -> dict[str, dict[str, str]]:
    """Each form of the page that marks something: its address and hidden fields."""
    found = {}
    for action, inside in re.findall(
        r'<form (?:class="expected" )?method="post" action="([^"]+)">(.*?)</form>', page, re.S
    ):
        found[action] = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)">', inside))
    return found


def length(house, garment) -> float:
    return queries.current_lays(queries.current_draft(garment))[0].buy_length_mm


def test_one_tap_buys_what_the_line_shows_once(house, owner):
    garment = waiting(house)
    address = reverse("desk:buy-cloth", args=[house.satin.pk])
    form = forms(owner.get(reverse(PAGE)).text)[address]

    first, second = owner.post(address, form), owner.post(address, form)

    assert made.told(first) == ["Grey satin is bought, and set aside for Grey dress."]
    assert made.told(second)[-1] == SENT_BEFORE
    assert first.url == second.url == reverse(PAGE)
    assert stock_of([house.satin.pk])[house.satin.pk].on_shelf == length(house, garment)


def test_one_tap_buys_notions(house, owner):
    waiting(house)
    zipped = Notion.objects.get(workshop=house.workshop, kind="zip")
    address = reverse("desk:buy-notion", args=[zipped.pk])

    answer = owner.post(address, forms(owner.get(reverse(PAGE)).text)[address])

    assert made.told(answer) == ["Concealed zip 60 cm is bought."]
    assert StockMove.objects.get(notion=zipped).amount == 1


def test_a_second_page_that_shows_too_much_is_told_so(house, owner):
    waiting(house)
    address = reverse("desk:buy-cloth", args=[house.satin.pk])
    pages = [forms(owner.get(reverse(PAGE)).text)[address] for _ in range(2)]

    owner.post(address, pages[0])
    answer = owner.post(address, pages[1])

    assert made.told(answer)[-1] == (
        "The list has changed: look at Grey satin again before you mark it bought."
    )
    assert StockMove.objects.filter(kind="bought").count() == 1


def test_cloth_on_the_shelf_is_set_aside_by_one_tap(house, owner):
    garment = waiting(house)
    return_cloth(cloth=house.satin, length_mm=length(house, garment), now=garment.stage_since_at)
    address = reverse("desk:set-cloth-aside", args=[house.satin.pk])

    answer = owner.post(address, forms(owner.get(reverse(PAGE)).text)[address])

    assert made.told(answer) == ["Grey satin lies ready, and set aside for Grey dress."]
    [shell, _] = queries.current_lays(queries.current_draft(garment))
    assert reserved_for(garment.pk) == {house.satin.pk: shell.need_mm}


def test_a_damaged_amount_is_refused(house, owner):
    waiting(house)
    address = reverse("desk:buy-cloth", args=[house.satin.pk])
    form = forms(owner.get(reverse(PAGE)).text)[address]

    for amount in ("", "much", "nan", "inf", "-1"):
        answer = owner.post(address, {**form, "shown": amount})
        assert len(made.told(answer)) == 1
        assert made.told(answer)[0].startswith((DAMAGED, "The list has changed"))

    assert StockMove.objects.count() == 0


def test_the_day_is_that_on_which_the_work_begins_in_the_plan(house, owner):
    garment = waiting(house)
    starts = made.at_noon(3)
    Task.objects.filter(garment=garment).delete()
    for position, days in ((1, 5), (2, 0)):
        Task.objects.create(
            workshop=house.workshop, garment=garment, position=position, group="cut", title="Cut",
            minutes_planned=30, planned_start_at=starts + timedelta(days=days),
            planned_end_at=starts + timedelta(days=days, minutes=30),
        )  # fmt: skip

    bought = owner.get(reverse(PAGE)).context["list"]

    days = {line.needed_on for _, lines in bought.suppliers for line in lines}
    assert days == {house.workshop.day_of(starts)}


def test_rail_and_prices_lead_to_the_list(house, owner):
    for name in ("desk:rail", "desk:prices"):
        assert f'href="{reverse(PAGE)}"' in owner.get(reverse(name)).text


def test_cloth_is_ordered_expected_later_and_comes(house, owner):
    garment = waiting(house)
    address, today = reverse("desk:order-cloth", args=[house.satin.pk]), timezone.localdate()

    answer = owner.post(address, forms(owner.get(reverse(PAGE)).text)[address] | {"expected_on": "tomorrow"})
    assert made.told(answer) == ["Write the day on which it is expected as a date."]
    day = today + timedelta(days=3)
    owner.post(address, forms(owner.get(reverse(PAGE)).text)[address] | {"expected_on": str(day)})
    parcel = Parcel.objects.get()
    assert f'class="number">{day:%a} {day.day} {day:%b}</td>' in owner.get(reverse(PAGE)).text

    Parcel.objects.update(expected_on=today - timedelta(days=2))
    late = today - timedelta(days=2)
    words = f"Ask after Grey satin: it was expected {late:%a} {late.day} {late:%b}"
    assert f'<a href="{reverse(PAGE)}">{words}</a>' in owner.get(reverse("desk:rail")).text
    assert '<span class="word bad">late</span>' in owner.get(reverse(PAGE)).text

    answer = owner.post(reverse("desk:receive-parcel", args=[parcel.pk]), {"submission": str(uuid.uuid4())})
    assert made.told(answer)[-1] == "Grey satin is in the stock, and set aside for Grey dress."
    assert reserved_for(garment.pk)[house.satin.pk] > 0
    answer = owner.post(reverse("desk:give-up-parcel", args=[parcel.pk]), {"submission": str(uuid.uuid4())})
    assert made.told(answer)[-1] == "Grey satin came already and lies in the stock."
