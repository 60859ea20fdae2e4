"""Armholes without a sleeve: a long binding is cut in parts that are joined to its whole length."""

from __future__ import annotations

import pytest

from drafting.details.bias import part_names
from tests.drafting.styles.parts.dressed import BODIES, drafted, failed

BOUND = {"armhole_finish": "binding"}


@pytest.mark.parametrize("body", BODIES)
def test_a_long_binding_is_cut_in_parts_that_are_joined_to_the_whole_armhole(body: str) -> None:
    draft = drafted(BOUND, body, house={"bias_longest": 254.0})
    strips = [piece for piece in draft.pieces if piece.name.startswith("armhole binding")]
    seam = next(seam for seam in draft.seams if seam.name == "armhole")
    joins = [seam for seam in draft.seams if seam.name.startswith("ends of the armhole binding")]

    assert failed(draft) == []
    lengths = [strip.edge("armhole").length for strip in strips]
    assert max(lengths) <= 254.0
    assert sum(lengths) == pytest.approx(draft.side_length(seam.a))
    assert len(joins) == len(strips)
    told = [note for note in draft.notes if "parts of the armhole binding" in note]
    assert len(told) == (len(strips) > 1)
    assert all(f"{sum(lengths) / 10:.1f} cm" in note for note in told)


def test_a_binding_that_is_short_enough_is_cut_in_one() -> None:
    draft = drafted(BOUND, "adult")

    assert [piece.name for piece in draft.pieces if "binding" in piece.name] == ["armhole binding"]


def test_each_part_has_the_notches_that_lie_on_it() -> None:
    whole, parted = (drafted(BOUND, "stout", house={"bias_longest": most}) for most in (1500.0, 254.0))

    counts = [
        sum(len(piece.notches) for piece in draft.pieces if piece.name.startswith("armhole binding"))
        for draft in (whole, parted)
    ]
    assert counts[0] > 0
    assert counts[1] >= counts[0]


def test_part_names_number_the_parts_of_a_strip() -> None:
    assert part_names("strip", 1) == ["strip"]
    assert part_names("strip", 3) == ["strip 1", "strip 2", "strip 3"]
