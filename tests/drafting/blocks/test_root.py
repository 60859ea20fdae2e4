"""Where a rising function is zero."""

from __future__ import annotations

from math import sqrt

import pytest

from drafting.blocks.root import rising_root


def test_rising_root_of_a_square() -> None:
    assert rising_root(lambda x: x * x - 2.0, 0.0, 2.0) == pytest.approx(sqrt(2.0), rel=1e-12)


def test_rising_root_of_a_steep_and_then_flat_function() -> None:
    """False position alone would creep along the flat part."""
    assert rising_root(lambda x: 1.0 - 1.0 / x, 1e-3, 1e3) == pytest.approx(1.0, rel=1e-7)


def test_rising_root_at_an_end() -> None:
    assert rising_root(lambda x: x, 0.0, 5.0) == pytest.approx(0.0, abs=1e-9)


def test_rising_root_refuses_one_sign() -> None:
    with pytest.raises(ValueError, match="no zero between 1 and 2"):
        rising_root(lambda x: x, 1.0, 2.0)
