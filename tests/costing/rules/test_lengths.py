"""Lengths on the shelf, worked by hand; and that their sum is what the moves add up to."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.rules.lengths import Length, Move, Spot, free_lengths, length_for, lengths_on_shelf

ANNA, BEA = 1, 2


def test_free_lengths_keeps_lengths_apart():
    assert free_lengths([Move("bought", 3000.0), Move("returned", 800.0)]) == (3000.0, 800.0)
    assert free_lengths([]) == ()


def test_free_lengths_takes_from_the_shortest_that_is_long_enough():
    moves = [Move("bought", 3000.0), Move("bought", 1200.0), Move("reserved", 1000.0, ANNA)]

    assert free_lengths(moves) == (3000.0, 200.0)


def test_free_lengths_gives_back_to_the_length_that_it_was_set_aside_from():
    moves = [Move("bought", 3000.0), Move("reserved", 1000.0, ANNA), Move("released", 1000.0, ANNA)]

    assert free_lengths(moves) == (3000.0,)


def test_free_lengths_cuts_from_what_lay_ready_for_the_garment():
    """Anna's 1.9 m lay ready on the roll when the remnant of 1.85 m came: her 1.8 m is cut from the roll."""
    moves = [
        Move("bought", 5000.0),
        Move("reserved", 1900.0, ANNA),
        Move("returned", 1850.0),
        Move("released", 1900.0, ANNA),
        Move("cut", 1800.0, ANNA),
    ]

    assert free_lengths(moves) == (3200.0, 1850.0)


def test_free_lengths_takes_from_several_where_none_is_long_enough():
    moves = [Move("bought", 1000.0), Move("bought", 700.0), Move("wasted", 1500.0)]

    assert free_lengths(moves) == (200.0,)


def test_free_lengths_of_two_garments_on_one_roll():
    roll = [Move("bought", 5000.0), Move("reserved", 2000.0, ANNA), Move("reserved", 1500.0, BEA)]

    assert free_lengths(roll) == (1500.0,)
    assert free_lengths([*roll, Move("released", 1500.0, BEA)]) == (3000.0,)


STEPS = st.lists(st.tuples(st.sampled_from(["in", "hold", "free", "cut"]), st.integers(1, 3000)), max_size=25)


@given(STEPS)
def test_free_lengths_add_up_to_what_the_moves_leave_free(steps):
    """Any run of moves that the stock allows: what is held is released before it is cut."""
    moves: list[Move] = []
    shelf, held = 0.0, {ANNA: 0.0, BEA: 0.0}
    for step, mm in steps:
        garment = ANNA if mm % 2 else BEA
        free = shelf - sum(held.values())
        if step == "in":
            moves.append(Move("bought", mm))
            shelf += mm
        elif step == "hold" and mm <= free:
            moves.append(Move("reserved", mm, garment))
            held[garment] += mm
        elif step == "free" and held[garment]:
            moves.append(Move("released", held[garment], garment))
            held[garment] = 0.0
        elif step == "cut" and mm <= free:
            moves.append(Move("cut", mm, None))
            shelf -= mm

    assert sum(free_lengths(moves)) == pytest.approx(shelf - sum(held.values()), abs=0.6 * (len(moves) + 1))


def lengths(moves, flaws=None):
    return [(row.key, row.free, row.sound, row.is_remnant) for row in lengths_on_shelf(moves, flaws)]


def test_a_length_that_is_named_is_taken_from_though_a_shorter_one_would_do():
    moves = [
        Move("bought", 3000.0, key=1),
        Move("returned", 1200.0, key=2),
        Move("cut", 1000.0, ANNA, taken_from=1),
    ]

    assert lengths(moves) == [(1, 2000.0, 2000.0, True), (2, 1200.0, 1200.0, True)]


def test_what_was_cut_less_of_a_length_was_never_off_it():
    moves = [
        Move("bought", 3000.0, key=1),
        Move("cut", 1000.0, ANNA, taken_from=1),
        Move("returned", 50.0, ANNA, key=3, taken_from=1),
    ]

    assert lengths(moves) == [(1, 2050.0, 2050.0, True)]


def test_a_length_counts_up_to_its_first_flaw_from_where_its_free_cloth_begins():
    """40 mm of flaw round 1500 and round 2500; 700 mm are cut off, 300 mm are set aside behind them."""
    flaws = {1: [Spot(2500.0, 200.0, 40.0), Spot(1500.0, 700.0, 40.0)]}
    roll = [Move("bought", 3000.0, key=1)]
    less = [*roll, Move("cut", 700.0, ANNA, taken_from=1), Move("reserved", 300.0, BEA, taken_from=1)]

    [whole] = lengths_on_shelf(roll, flaws)
    [left] = lengths_on_shelf(less, flaws)

    assert (whole.sound, left.free, left.sound) == (1480.0, 2000.0, 480.0)
    assert left.flaws == (Spot(500.0, 700.0, 40.0), Spot(1500.0, 200.0, 40.0))


def test_a_flaw_in_cloth_that_is_cut_off_or_set_aside_is_gone():
    flaws = {1: [Spot(500.0, 200.0, 40.0)]}
    moves = [Move("bought", 3000.0, key=1), Move("reserved", 600.0, BEA, taken_from=1)]

    assert lengths(moves, flaws) == [(1, 2400.0, 2400.0, False)]


def test_length_for_takes_the_shortest_that_is_long_enough_without_a_flaw():
    flawed, short, long = Length(1, 1500.0, (Spot(200.0, 0.0, 20.0),)), Length(2, 900.0), Length(3, 2500.0)

    assert length_for([flawed, short, long], 1000.0) == long
    assert length_for([flawed, short, long], 180.0) == short
    assert length_for([flawed], 150.0) == flawed
    assert length_for([flawed, short], 1000.0) is None
