from __future__ import annotations

import pytest

from drafting.details.bias import joining_note, strip_parts


@pytest.mark.parametrize(
    ("length", "longest", "parts"),
    [(700.0, 762.0, 1), (762.0, 762.0, 1), (763.0, 762.0, 2), (1600.0, 762.0, 3), (1.0, 762.0, 1)],
)
def test_strip_parts_are_as_few_as_the_longest_allows(length: float, longest: float, parts: int) -> None:
    assert strip_parts(length, longest) == parts


def test_joining_note_says_the_length_of_all_parts_together() -> None:
    assert "Join the 2 parts of the neck strip" in joining_note("neck strip", 812.0, 2)
    assert "to 81.2 cm between" in joining_note("neck strip", 812.0, 2)
