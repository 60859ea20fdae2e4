from __future__ import annotations

import pytest

from costing.rules.labour import minutes_by_group, total_minutes
from costing.rules.operation_list import operations
from tests.costing.drafts import slip


def test_minutes_by_group_sum_to_the_total():
    listed = operations(slip())

    assert sum(minutes_by_group(listed).values()) == pytest.approx(total_minutes(listed))
