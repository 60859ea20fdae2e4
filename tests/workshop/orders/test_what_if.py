"""A garment reckoned another way; nothing of it is stored."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from costing import services as costing
from costing.models import Estimate
from costing.rules.learning import average_time
from drafting.errors import BadChoice
from tests.workshop.orders.house import (
    NOW,
    TODAY,
    draft,
    garment_of,
    lay,
    open_house,
    set_prices,
    take,
    wish,
)
from workshop.errors import Refusal
from workshop.orders import queries
from workshop.orders import services as orders
from workshop.orders.models import Draft
from workshop.orders.services.estimating import NotPriced
from workshop.orders.services.what_if import WhatIf, reckon_what_if

DAY = timedelta(days=1)


@pytest.fixture
def garment(house):
    """Drafted, laid and reckoned."""
    made = draft(house, garment_of(take(house)))
    lay(made)
    set_prices(house)
    orders.estimate_garment(garment=made.garment, now=NOW)
    return queries.garment_of(house.workshop, made.garment_id)


def a_cloth(house, **changes):
    values = {"use": "shell", "name": "Silk", "width_mm": 1500.0, "price_per_metre": Decimal(60)}
    return costing.add_cloth(workshop=house.workshop, today=TODAY, **{**values, **changes})


def what(garment, **changes):
    return reckon_what_if(garment=garment, what=WhatIf(**{"cloths": {}, **changes}))


def cloth_line(reckoned, role: str):
    return next(line for line in reckoned.each.lines if line.what.endswith(f"({role})"))


def test_what_if_nothing_is_another_way_it_comes_to_the_held_estimate(garment):
    held = queries.current_estimate(garment)

    same = what(garment)

    assert (str(same.total), same.minutes, str(same.profit)) == (
        held.content["total"],
        held.minutes,
        held.content["profit"],
    )
    assert (same.guessed, same.drafted) == ((), False)


def test_what_if_stores_nothing(garment, house):
    before = list(Estimate.objects.values()), list(Draft.objects.values_list("pk", flat=True))

    what(garment, cloths={"shell": a_cloth(house)}, lining="full", quantity=3)

    assert (list(Estimate.objects.values()), list(Draft.objects.values_list("pk", flat=True))) == before


def test_another_cloth_is_guessed_from_the_area_and_priced_as_it_is_sold(garment, house):
    silk = what(garment, cloths={"shell": a_cloth(house)})

    line = cloth_line(silk, "shell")
    assert silk.guessed == ("shell",)
    assert line.what == "Silk (shell)"
    assert line.amount == line.quantity * 60
    assert "guessed" in line.why
    assert silk.minutes == what(garment).minutes


def test_a_narrower_cloth_takes_more_of_it_by_the_same_area(garment, house):
    wide = cloth_line(what(garment, cloths={"shell": a_cloth(house, sold_by_mm=1.0)}), "shell")

    half = what(garment, cloths={"shell": a_cloth(house, name="Half", sold_by_mm=1.0)}, width_mm=750.0)

    assert half.guessed == ("shell",)
    assert float(cloth_line(half, "shell").quantity) == pytest.approx(2 * float(wide.quantity), abs=0.002)


def test_another_width_of_the_same_cloth_is_guessed(garment, house):
    narrow = what(garment, width_mm=house.satin.width_mm - 400)

    assert narrow.guessed == ("shell",)


def test_the_width_that_the_cloth_has_keeps_its_lay(garment, house):
    same = what(garment, width_mm=house.satin.width_mm)

    assert same.guessed == ()
    assert same.total == what(garment).total


def test_another_lining_is_drafted_anew_and_takes_longer(garment, house):
    twill = a_cloth(house, use="lining", name="Twill", price_per_metre=Decimal(7))

    lined = what(garment, lining="full", cloths={"lining": twill})
    without_cloth = what(garment, lining="full")

    assert lined.drafted
    assert {"shell", "lining"} <= set(lined.guessed)
    assert lined.minutes > what(garment).minutes
    assert cloth_line(lined, "lining").unit_price == 7
    assert "No lining is chosen: it is not in this price." in without_cloth.each.cautions


def test_the_lining_that_it_has_is_not_drafted_anew(garment):
    has = str(queries.pattern_of(queries.current_draft(garment)).choices["lining"])

    assert not what(garment, lining=has).drafted


@pytest.mark.parametrize("quantity", [2, 4, 12])
def test_several_of_the_same_take_the_average_time_of_the_learning_rate(garment, quantity):
    one = what(garment)

    several = what(garment, quantity=quantity, learning_rate=0.8)

    share = average_time(1.0, quantity=quantity, rate=0.8)
    groups = sum(1 for line in several.each.lines if line.kind == "labour")
    # Each kind of work is rounded up to a whole minute.
    assert several.each.minutes == pytest.approx(one.minutes * share, abs=groups)
    assert several.minutes == several.each.minutes * quantity
    assert several.total == several.each.total * quantity
    assert several.profit == several.each.profit * quantity


@pytest.mark.parametrize(
    "changes",
    [{"quantity": 0}, {"quantity": 13}, {"width_mm": 0.0}, {"width_mm": float("nan")}, {"width_mm": 9000.0}],
)
def test_what_if_refuses_what_cannot_be(changes, garment):
    with pytest.raises(Refusal):
        what(garment, **changes)


def test_what_if_refuses_a_lining_that_the_style_does_not_have(garment):
    with pytest.raises(BadChoice):
        what(garment, lining="fur")


def test_what_if_knows_no_other_workshops_cloth(garment):
    with pytest.raises(Refusal):
        what(garment, cloths={"shell": open_house("Lantern").satin})


def test_what_if_waits_for_prices_and_a_draft(house):
    garment = garment_of(take(house))
    with pytest.raises(NotPriced):
        what(garment)
    set_prices(house)

    with pytest.raises(Refusal, match=r"^Draft Grey dress first"):
        what(garment)


def test_another_number_of_pleats_is_drafted_anew_and_takes_other_minutes(garment):
    has = queries.pattern_of(queries.current_draft(garment)).choices["pleats"]

    more, same = what(garment, pleats=has + 2), what(garment, pleats=has)

    assert (more.drafted, same.drafted) == (True, False)
    assert "shell" in more.guessed
    assert more.minutes > same.minutes == what(garment).minutes
    assert more.each.cost != same.each.cost


def test_a_sooner_day_is_a_rush_and_a_later_one_none(garment):
    due_on = garment.order.due_on
    plain = what(garment)

    sooner, later = (what(garment, due_on=due_on + days * DAY) for days in (-5, 5))

    assert next(line.why for line in sooner.each.lines if line.kind == "rush").startswith("25.0%")
    assert sooner.total > plain.total == later.total
    assert (sooner.due_on, later.due_on, plain.due_on) == (due_on - 5 * DAY, due_on + 5 * DAY, due_on)
    assert sooner.minutes == plain.minutes


@pytest.mark.parametrize(("rush", "lines"), [(Decimal(0), 0), (Decimal("0.4"), 1)])
def test_a_rush_that_is_said_counts_whatever_the_day(rush, lines, garment):
    made = what(garment, due_on=garment.order.due_on - 5 * DAY, rush=rush)

    assert sum(1 for line in made.each.lines if line.kind == "rush") == lines


def test_operations_of_a_way_are_those_that_the_plan_is_asked_with(garment):
    one, four = what(garment), what(garment, quantity=4, learning_rate=0.8)

    assert sum(op.minutes for op in four.operations) == pytest.approx(
        sum(op.minutes for op in one.operations) * average_time(1.0, quantity=4, rate=0.8)
    )


def test_garments_alike_in_one_order_are_priced_at_their_average_time(house, garment):
    alone = queries.current_estimate(garment)
    lined = wish(house, title="Lined", choices={"lining": "full"})
    order = take(house, wishes=[wish(house), wish(house), lined])
    rows = list(order.garments.order_by("position"))
    for row in rows:
        draft(house, row)
    first, second, other = (orders.estimate_garment(garment=row, now=NOW) for row in rows)

    share = average_time(1.0, quantity=2, rate=0.95)
    assert first.minutes == second.minutes == pytest.approx(alone.minutes * share, abs=7)
    assert "average of 2, 95% at each doubling" in str(first.content["lines"])
    assert "average of" not in str(other.content["lines"])
    same = what(queries.garment_of(house.workshop, rows[0].pk))
    assert (str(same.each.total), same.each.quantity, same.copies) == (first.content["total"], 2, 1)
