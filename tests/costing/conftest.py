"""Fixtures of the costing tests."""

from __future__ import annotations

import pytest

from tests.costing.papers import make_order, make_workshop


@pytest.fixture
def workshop(db):
    return make_workshop()


@pytest.fixture
def order(workshop):
    return make_order(workshop)
