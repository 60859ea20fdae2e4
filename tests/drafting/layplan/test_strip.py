from __future__ import annotations

import pytest

from drafting.layplan.outline import Outline, at_origin, turned
from drafting.layplan.strip import Pose, unlike

STRAP: Outline = ((0, 0), (400, 0), (400, 50), (0, 50))
SQUARE: Outline = ((0, 0), (50, 0), (50, 50), (0, 50))
GORE: Outline = ((0, 0), (400, 0), (300, 50), (0, 50))


@pytest.mark.parametrize(
    ("outline", "turns"),
    [(STRAP, [0, 90]), (SQUARE, [0]), (GORE, [0, 90, 180, 270])],
    ids=["strap", "square", "gore"],
)
def test_unlike_leaves_out_turns_that_change_nothing(outline: Outline, turns: list[float]) -> None:
    poses = [Pose(turn, at_origin(turned(outline, turn))) for turn in (0, 90, 180, 270)]

    assert [pose.rotation for pose in unlike(poses)] == turns
