"""What the search that parts reckons for a place, against the overlaps that it reckons one by one."""

from __future__ import annotations

import numpy as np
import pytest
from numba import njit

from drafting.layplan import separate
from drafting.layplan.bound import Shapes, bounds_of, depths, lie_of
from drafting.layplan.outline import Outline, at_origin, turned
from drafting.layplan.separate import FAR, Place, Scene
from drafting.layplan.strip import Layout, Part, Pose, Position, StripProblem
from tests.drafting.layplan.shapes import BOX

DIAMOND: Outline = ((60.0, 0.0), (120.0, 60.0), (60.0, 120.0), (0.0, 60.0))
HOOK: Outline = ((0.0, 0.0), (150.0, 0.0), (150.0, 40.0), (40.0, 40.0), (40.0, 120.0), (0.0, 120.0))


@njit
def priced(part: int, place: Place, scene: Scene) -> float:
    return float(separate._cost(part, place, FAR, scene).cost)


@njit
def looked(part: int, scene: Scene) -> None:
    separate._look(part, scene)


@njit
def laid(scene: Scene) -> None:
    separate._lay(scene.lie.pose.copy(), scene.lie.x.copy(), scene.lie.y.copy(), scene)


def scene_of(problem: StripProblem, at: list[tuple[float, float]], end: float) -> Scene:
    shapes = Shapes.of(problem)
    layout = Layout(tuple(Position(0, x, y) for x, y in at))
    lie, bounds = lie_of(layout, problem, shapes), bounds_of(problem, shapes, layout)
    scene = Scene.of(lie, bounds, depths(problem, shapes), problem.gap, 0)._replace(end=end)
    scene.weights[:] = 1.0
    laid(scene)
    return scene


@pytest.mark.parametrize(
    ("outline", "x"),
    [
        pytest.param(BOX, 215.0, id="the boxes are apart"),
        # Cut square, what is grown by the gap reaches further before a corner than the gap.
        pytest.param(DIAMOND, 145.0, id="before a corner"),
    ],
)
def test_what_lies_within_the_gap_is_seen(outline: Outline, x: float) -> None:
    problem = StripProblem(200.0, 20.0, tuple(Part((Pose(0.0, outline),)) for _ in range(2)))
    scene = scene_of(problem, [(0.0, 0.0), (x, 0.0)], 500.0)

    looked(0, scene)
    assert scene.losses[0, 1] > 0
    assert priced(0, Place(0, 0.0, 0.0, 0.0), scene) == scene.losses[0, 1]


def test_the_bins_leave_out_nothing_that_overlaps() -> None:
    """More parts than a word has bits, anywhere, and some beyond the ends of the bins."""
    outlines = [BOX, HOOK, at_origin(turned(HOOK, 180))]
    parts = tuple(Part((Pose(0.0, outlines[n % 3]),)) for n in range(150))
    problem = StripProblem(900.0, 5.0, parts)
    chance = np.random.default_rng(1)
    scene = scene_of(problem, [(x, y) for x, y in chance.uniform(0, (2500, 780), size=(150, 2))], 3000.0)
    for number in range(150):
        lie = scene.lie
        place = Place(int(lie.pose[number]), float(lie.x[number]), float(lie.y[number]), 0.0)
        looked(number, scene)

        assert np.isclose(priced(number, place, scene), scene.losses[number].sum(), rtol=1e-9)
    assert (scene.losses > 0).sum() > 300
