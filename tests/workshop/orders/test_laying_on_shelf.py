"""A lay on one length from the shelf, round its flaws."""

from __future__ import annotations

import pytest
from shapely.geometry import Point, Polygon

from costing import services as costing
from costing.queries import lengths_of, reserved_for
from tests.workshop.orders.house import NOW, accept, draft, lay
from workshop.errors import Refusal
from workshop.orders import queries, services
from workshop.orders.services import CannotLay


def flawed(house, length_mm: float = 3000.0):
    """A length of satin with a flaw in its middle, 80 cm from its beginning."""
    bought = costing.buy_cloth(cloth=house.satin, length_mm=length_mm, now=NOW)
    costing.note_flaw(length=bought, at_mm=800, across_mm=700, size_mm=60, now=NOW)
    return bought


def lay_on(house, made, bought, **more):
    return services.lay_on_length(draft=made, role="shell", length_id=bought.pk, now=NOW, seconds=1.0, **more)


def test_a_length_with_a_flaw_is_not_taken_by_itself(house, order, garment):
    flawed(house)

    accept(house, order)

    assert house.satin.pk not in reserved_for(garment.pk)
    assert [line.row for line in queries.buying_list(house.workshop, {}).suppliers[0][1]][:1] != []


def test_lay_on_length_keeps_pieces_off_the_flaw_and_sets_that_length_aside(house, order, garment):
    accept(house, order)
    bought = flawed(house)
    costing.buy_cloth(cloth=house.satin, length_mm=1000, now=NOW)

    row = lay_on(house, queries.current_draft(garment), bought)

    # The plan's y begins at the inner edge of the selvedge, its x where the end was straightened.
    spot = Point(800, 700 - house.satin.selvedge_mm).buffer(20)
    assert not any(Polygon(placed.outline).intersects(spot) for placed in queries.lay_value(row).placed)
    assert (row.on_length_id, row.need_mm <= 3000) == (bought.pk, True)
    assert reserved_for(garment.pk)[house.satin.pk] == pytest.approx(row.need_mm)
    move = house.workshop.stock_moves.get(kind="reserved", cloth=house.satin)
    assert move.taken_from == bought


def test_lay_on_length_says_how_much_is_lacking_and_keeps_the_lay_before(house, garment):
    made = draft(house, garment)
    before = lay(made)[0]
    bought = flawed(house, 1500.0)

    with pytest.raises(CannotLay, match=r"^The pieces do not go on the lengths there are \(.* cm in all\)"):
        lay_on(house, made, bought)

    assert queries.current_lays(made)[0] == before


def test_lay_on_length_refuses_what_is_gone(house, garment):
    made = draft(house, garment)
    lay(made)
    bought = flawed(house)
    costing.waste_cloth(cloth=house.satin, length_mm=3000, now=NOW)

    with pytest.raises(Refusal, match=r"^Nothing of that length lies free any more"):
        lay_on(house, made, bought)


def test_a_flaw_moves_towards_the_beginning_as_cloth_is_cut_off(house, garment):
    bought = flawed(house)

    costing.cut_cloth(cloth=house.satin, length_mm=500, garment_id=garment.pk, now=NOW)

    [length] = lengths_of([house.satin.pk])[house.satin.pk]
    assert (length.key, length.free, length.sound) == (bought.pk, 2500.0, 270.0)
    assert [(spot.at, spot.size) for spot in length.flaws] == [(300.0, 60.0)]


def note(house, bought, at_mm):
    return services.note_flaw(length=bought, at_mm=at_mm, across_mm=700, size_mm=60, by=house.owner, now=NOW)


def test_a_flaw_in_what_is_set_aside_frees_it_and_another_length_serves(house, order, garment):
    accept(house, order)
    first = costing.buy_cloth(cloth=house.satin, length_mm=2500, now=NOW)
    services.reserve_waiting(workshop=house.workshop, cloth=house.satin, now=NOW)
    second = costing.buy_cloth(cloth=house.satin, length_mm=3000, now=NOW)

    waiting = note(house, first, 800)

    held = house.workshop.stock_moves.filter(kind="reserved", cloth=house.satin).order_by("pk")
    assert waiting == []
    assert [move.taken_from for move in held] == [first, second]


def test_a_flaw_leaves_a_garment_waiting_where_no_sound_length_is_left(house, order, garment):
    accept(house, order)
    bought = costing.buy_cloth(cloth=house.satin, length_mm=2500, now=NOW)
    services.reserve_waiting(workshop=house.workshop, cloth=house.satin, now=NOW)

    waiting = note(house, bought, 800)

    assert waiting == [garment]
    assert house.satin.pk not in reserved_for(garment.pk)
    assert queries.next_need(garment) != ""
    [shell, _] = queries.lays_shown(queries.current_draft(garment))
    assert [length.key for length in shell.flawed] == [bought.pk]


def test_a_flaw_behind_what_is_set_aside_leaves_it(house, order, garment):
    accept(house, order)
    bought = costing.buy_cloth(cloth=house.satin, length_mm=2500, now=NOW)
    services.reserve_waiting(workshop=house.workshop, cloth=house.satin, now=NOW)

    assert note(house, bought, 2300) == []

    assert house.satin.pk in reserved_for(garment.pk)
