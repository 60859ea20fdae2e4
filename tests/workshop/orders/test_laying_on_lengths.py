"""A lay on lengths from the shelf, round their flaws, and on the roll."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from shapely.geometry import Point, Polygon

from costing import services as costing
from costing.models import StockMove
from costing.queries import held_lengths, lengths_of, reserved_for, stock_of
from tests.workshop.orders.house import NOW, TODAY, accept, buy, draft, garment_of, lay, pay, tick_all
from workshop.errors import Refusal
from workshop.orders import queries, services
from workshop.orders.rules.buying import as_sold
from workshop.orders.rules.takes import read_takes
from workshop.orders.services import CannotLay


def flawed(house, length_mm: float = 3000.0):
    """A length of satin with a flaw in its middle, 80 cm from its beginning."""
    bought = costing.buy_cloth(cloth=house.satin, length_mm=length_mm, now=NOW)
    costing.note_flaw(length=bought, at_mm=800, across_mm=700, size_mm=60, now=NOW)
    return bought


def lay_on(house, made, bought, **more):
    return services.lay_on_lengths(
        draft=made, role="shell", lengths=[bought.pk], now=NOW, seconds=1.0, **more
    )


def test_a_length_with_a_flaw_is_not_taken_by_itself(house, order, garment):
    flawed(house)

    accept(house, order)

    assert house.satin.pk not in reserved_for(garment.pk)
    assert [line.row for line in queries.buying_list(house.workshop, {}).suppliers[0][1]][:1] != []


def test_lay_on_lengths_keeps_pieces_off_the_flaw_and_sets_that_length_aside(house, order, garment):
    accept(house, order)
    bought = flawed(house)
    costing.buy_cloth(cloth=house.satin, length_mm=1000, now=NOW)

    row = lay_on(house, queries.current_draft(garment), bought)

    # The plan's y begins at the inner edge of the selvedge, its x where the end was straightened.
    spot = Point(800, 700 - house.satin.selvedge_mm).buffer(20)
    assert not any(Polygon(placed.outline).intersects(spot) for placed in queries.lay_value(row).placed)
    assert ([take.length for take in read_takes(row.takes)], row.need_mm <= 3000) == ([bought.pk], True)
    assert reserved_for(garment.pk)[house.satin.pk] == pytest.approx(row.need_mm)
    move = house.workshop.stock_moves.get(kind="reserved", cloth=house.satin)
    assert move.taken_from == bought


def test_lay_on_lengths_says_how_much_is_lacking_and_keeps_the_lay_before(house, garment):
    made = draft(house, garment)
    before = lay(made)[0]
    bought = flawed(house, 1500.0)

    with pytest.raises(CannotLay, match=r"^The pieces do not go on the lengths there are \(.* cm in all\)"):
        lay_on(house, made, bought)

    assert queries.current_lays(made)[0] == before


def test_lay_on_lengths_refuses_what_is_gone(house, garment):
    made = draft(house, garment)
    lay(made)
    bought = flawed(house)
    costing.waste_cloth(cloth=house.satin, length_mm=3000, now=NOW)

    with pytest.raises(Refusal, match=r"^A length that was chosen does not lie free any more"):
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
    assert [(row.length.key, row.wanted) for row in shell.shelf] == [(bought.pk, True)]


def test_a_flaw_behind_what_is_set_aside_leaves_it(house, order, garment):
    accept(house, order)
    bought = costing.buy_cloth(cloth=house.satin, length_mm=2500, now=NOW)
    services.reserve_waiting(workshop=house.workshop, cloth=house.satin, now=NOW)

    assert note(house, bought, 2300) == []

    assert house.satin.pk in reserved_for(garment.pk)


def two_remnants(house) -> list[int]:
    return [costing.buy_cloth(cloth=house.satin, length_mm=mm, now=NOW).pk for mm in (1100, 900)]


def lay_on_all(garment, lengths, **more):
    made = queries.current_draft(garment)
    return services.lay_on_lengths(draft=made, role="shell", lengths=lengths, now=NOW, seconds=0.5, **more)


def test_each_length_is_set_aside_the_roll_bought_and_each_cut_where_it_lies(house, order, garment):
    accept(house, order)
    keys = two_remnants(house)

    row = lay_on_all(garment, [*keys, None])

    first, second, roll = read_takes(row.takes)
    held = held_lengths([garment.pk])[garment.pk, house.satin.pk]
    # The shorter remnant is used up first.
    assert [first.length, second.length, roll.length] == [keys[1], keys[0], None]
    assert held == {keys[1]: pytest.approx(first.need_mm), keys[0]: pytest.approx(second.need_mm)}
    [line] = [line for line in queries.buying_list(house.workshop, {}).suppliers[0][1] if line.is_cloth][:1]
    assert line.amount == as_sold(roll.need_mm, house.satin.sold_by_mm)

    buy(house, house.satin, line.amount)
    buy(house, house.interfacing)
    pay(house, order, order.quotes.get(state="accepted").deposit)
    # A shorter length that would do is not cut in the place of the one that was laid on.
    costing.buy_cloth(cloth=house.satin, length_mm=first.need_mm + 5, now=NOW)
    services.move_garment(garment=garment, to="cut", by=house.owner, now=NOW)
    tick_all(house, garment)
    services.move_garment(garment=garment_of(order), to="sew", by=house.apprentice, now=NOW)

    cut = house.workshop.stock_moves.filter(kind="cut", cloth=house.satin).order_by("amount")
    assert {move.taken_from_id: move.amount for move in cut} == pytest.approx(
        {
            keys[1]: first.cut_mm,
            keys[0]: second.cut_mm,
            cut.exclude(taken_from__in=keys).get().taken_from_id: roll.cut_mm,
        }
    )
    stock = stock_of([house.satin.pk])[house.satin.pk]
    left = 2005 + line.amount + first.need_mm - row.cut_mm
    assert (stock.reserved, stock.free) == (0, pytest.approx(left, abs=0.01))


def test_the_choice_is_kept_when_the_draft_is_laid_anew(house, garment):
    made = draft(house, garment)
    lay(made)
    keys = two_remnants(house)
    lay_on_all(garment, [*keys, None])

    again = services.make_lay_plans(draft=made, now=NOW, seconds=0.4)[0]

    assert [take.length for take in read_takes(again.takes)] == [keys[1], keys[0], None]
    assert again.inputs["remark"] == ""


def test_a_choice_that_serves_no_more_is_told_and_the_garment_laid_all_the_same(house, garment):
    made = draft(house, garment)
    lay(made)
    keys = two_remnants(house)
    lay_on_all(garment, [*keys, None])
    costing.waste_cloth(cloth=house.satin, length_mm=900, now=NOW, taken_from=keys[1])

    again = services.make_lay_plans(draft=made, now=NOW, seconds=0.4)[0]

    assert again.takes == []
    assert again.inputs["remark"].startswith(
        "Not laid on the lengths that were chosen: A length that was chosen"
    )
    [shell, _] = queries.lays_shown(made)
    assert shell.remarks == (again.inputs["remark"],)


def test_no_length_ticked_cuts_it_from_any_one_length_again(house, garment):
    lay(draft(house, garment))
    lay_on_all(garment, [*two_remnants(house), None])

    row = lay_on_all(garment, [None])

    assert row.takes == []
    assert garment.cloths.get(role="shell").lengths == []


def test_lengths_that_are_not_enough_without_the_roll_keep_lay_and_choice(house, garment):
    made = draft(house, garment)
    before = lay(made)[0]
    keys = two_remnants(house)

    with pytest.raises(CannotLay, match=r"^The pieces do not go on the lengths there are"):
        lay_on_all(garment, keys)

    assert queries.current_lays(made)[0] == before
    assert garment.cloths.get(role="shell").lengths == []


def test_what_a_garment_has_set_aside_itself_may_be_chosen_again(house, order, garment):
    accept(house, order)
    keys = two_remnants(house)
    lay_on_all(garment, [*keys, None])

    row = lay_on_all(garment, [keys[0], None])

    first, rest = read_takes(row.takes)
    assert (first.length, rest.length) == (keys[0], None)
    # More than what the garment had not set aside of it, of which a facing might have been cut.
    assert first.need_mm > 700
    assert held_lengths([garment.pk])[garment.pk, house.satin.pk] == {keys[0]: pytest.approx(first.need_mm)}


def test_a_length_that_another_took_meanwhile_is_refused_and_the_lay_before_holds(house, order, garment):
    accept(house, order)
    made = queries.current_draft(garment)
    before = queries.current_lays(made)[0]
    keys = two_remnants(house)

    def spoil(percent, words):
        if words.startswith("Keeping"):
            costing.waste_cloth(cloth=house.satin, length_mm=500, now=NOW, taken_from=keys[1])

    with pytest.raises(Refusal, match=r"^The length of 0\.90 m is not as it was when it was laid on"):
        lay_on_all(garment, [*keys, None], progress=spoil)

    assert queries.current_lays(made)[0] == before
    assert garment.cloths.get(role="shell").lengths == []


def test_a_lay_is_not_set_aside_again_on_a_length_with_a_flaw_that_it_does_not_know(house, order, garment):
    accept(house, order)
    keys = two_remnants(house)
    lay_on_all(garment, [*keys, None])

    services.note_flaw(
        length=StockMove.objects.get(pk=keys[0]),
        at_mm=300,
        across_mm=700,
        size_mm=60,
        by=house.owner,
        now=NOW + timedelta(hours=1),
    )

    assert list(held_lengths([garment.pk])[garment.pk, house.satin.pk]) == [keys[1]]


def test_the_choice_outlives_a_change_of_the_garment_but_not_of_its_cloth(house, garment):
    lay(draft(house, garment))
    keys = two_remnants(house)
    lay_on_all(garment, [*keys, None])
    other = costing.add_cloth(
        workshop=house.workshop,
        today=TODAY,
        use="shell",
        name="Blue satin",
        width_mm=1500.0,
        price_per_metre=Decimal(20),
    )

    kept = [change(house, garment, cloth).cloths.get(role="shell").lengths for cloth in (house.satin, other)]

    assert kept == [[*keys, None], []]


def change(house, garment, satin):
    garment.refresh_from_db()
    return services.change_garment(
        garment=garment,
        expected_version=garment.version,
        title="Renamed",
        style=garment.style,
        choices=garment.choices,
        cloths={"shell": (satin, ""), "interfacing": (house.interfacing, "")},
        by=house.owner,
        now=NOW,
    )
