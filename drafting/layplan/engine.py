"""The strip-packing engine for open cloth: ``spyrrow`` behind the ``StripPacker`` interface.

It is native code that stops the process on bad geometry and may not return: call it only in the child process
(``child``), on outlines that were checked and simplified (``outline``).
"""

from __future__ import annotations

from collections import Counter
from math import ceil
from threading import Thread

import spyrrow

from drafting.layplan.outline import extent, turned
from drafting.layplan.strip import Layout, Pose, Position, Report, StripProblem, unlike

#: Share of the seconds in which the engine looks for new layouts; then it presses the best one together.
EXPLORING = 0.8

#: It refuses a part exactly as high as the strip; one this share higher passes.
HEADROOM = 1e-5

#: Seconds between two looks at what it has found.
LOOK_EVERY = 0.05

Group = tuple[Pose, ...]

_SOUND = (spyrrow.ReportType.ExplFeas, spyrrow.ReportType.CmprFeas, spyrrow.ReportType.Final)


class EngineFailed(Exception):
    """The engine ended without a layout; the message is its own."""


class SpyrrowPacker:
    """Packs parts in free positions: no fold, no repeat. ``workers`` threads look for layouts."""

    def __init__(self, workers: int) -> None:
        self.workers = workers

    def pack(self, problem: StripProblem, *, seconds: float, seed: int, report: Report) -> None:
        if not problem.parts:
            return
        groups = list(Counter(part.poses for part in problem.parts))
        queue = spyrrow.ProgressQueue()
        run = _Run(_instance(problem, groups), self._config(problem, seconds, seed), queue)
        run.start()
        while run.is_alive():
            run.join(LOOK_EVERY)
            for kind, solution in queue.drain():
                if kind in _SOUND:
                    report(_layout(problem, groups, solution))
        if run.failure is not None:
            raise EngineFailed(f"{type(run.failure).__name__}: {run.failure}".splitlines()[0])

    def _config(self, problem: StripProblem, seconds: float, seed: int) -> spyrrow.StripPackingConfig:
        # It counts whole seconds; what a second too many would bring is cut off by whoever started it.
        exploring = max(1, round(seconds * EXPLORING))
        return spyrrow.StripPackingConfig(
            early_termination=False,
            min_items_separation=problem.gap or None,
            total_computation_time=None,
            exploration_time=exploring,
            compression_time=max(0, ceil(seconds) - exploring),
            num_workers=self.workers,
            seed=seed,
        )


class _Run(Thread):
    """The engine's own thread, so that layouts can be read while it works; ends with the process."""

    def __init__(
        self,
        instance: spyrrow.StripPackingInstance,
        config: spyrrow.StripPackingConfig,
        queue: spyrrow.ProgressQueue,
    ) -> None:
        super().__init__(daemon=True)
        self._given = (instance, config, queue)
        self.failure: BaseException | None = None

    def run(self) -> None:
        instance, config, queue = self._given
        try:
            instance.solve(config, queue)
        # A panic of the native code arrives as BaseException, not Exception.
        except BaseException as failure:
            self.failure = failure


def _instance(problem: StripProblem, groups: list[Group]) -> spyrrow.StripPackingInstance:
    demand = Counter(part.poses for part in problem.parts)
    items = [
        spyrrow.Item(
            str(number),
            poses[0].outline,
            demand[poses],
            [pose.rotation - poses[0].rotation for pose in unlike(poses)],
        )
        for number, poses in enumerate(groups)
    ]
    tallest = max(extent(pose.outline)[1] for poses in groups for pose in poses)
    height = problem.width if tallest < problem.width * (1 - HEADROOM) else problem.width * (1 + HEADROOM)
    return spyrrow.StripPackingInstance("", height, items)


def _layout(problem: StripProblem, groups: list[Group], solution: spyrrow.StripPackingSolution) -> Layout:
    """The engine's placements as positions of the problem's parts."""
    waiting: dict[Group, list[Position]] = {group: [] for group in groups}
    for placed in solution.placed_items:
        group = groups[int(placed.id)]
        waiting[group].append(_position(problem.width, group, placed))
    positions = [waiting[part.poses].pop() for part in problem.parts]
    left = min(position.x for position in positions)
    return Layout(tuple(Position(p.pose, p.x - left, p.y) for p in positions))


def _position(width: float, group: Group, placed: spyrrow.PlacedItem) -> Position:
    turn = (placed.rotation - group[0].rotation) % 360
    pose = min(range(len(group)), key=lambda n: _apart(group[n].rotation - group[0].rotation, turn))
    # The engine turns about the origin, then moves; a position is where the least x and y come to lie.
    about_origin = turned(group[0].outline, group[pose].rotation - group[0].rotation)
    x = placed.translation[0] + min(x for x, _ in about_origin)
    y = placed.translation[1] + min(y for _, y in about_origin)
    # It counts in single precision and was given a little headroom.
    highest = width - extent(group[pose].outline)[1]
    return Position(pose, x, min(max(y, 0.0), max(highest, 0.0)))


def _apart(first: float, second: float) -> float:
    """Degrees between two directions."""
    return abs((first - second + 180) % 360 - 180)
