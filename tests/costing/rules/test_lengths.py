"""Lengths on the shelf, worked by hand; and that their sum is what the moves add up to."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.rules.lengths import Move, free_lengths

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
