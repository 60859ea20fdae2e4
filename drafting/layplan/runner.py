"""Planning a lay against the clock: a quick fill here, the packers in a process of their own.

The one module of ``drafting`` that reads a clock. The packing processes (``packing``) may be killed, hang or
stop on a panic of native code: the quick fill and every layout that had come by then are still there, and
what is handed out is verified.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import isfinite
from threading import Event, Thread
from time import monotonic
from typing import NamedTuple

from drafting.errors import BadCloth
from drafting.layplan.boxes import boxes_in_rows
from drafting.layplan.cloth import SELLERS_INCREMENT, Cloth
from drafting.layplan.compact import compact
from drafting.layplan.items import LayItem
from drafting.layplan.outline import extent
from drafting.layplan.packing import PackingProcess
from drafting.layplan.plan import LayPlan
from drafting.layplan.problem import layout_of, plan_of, strip_problem
from drafting.layplan.refusals import DoesNotFit
from drafting.layplan.search import quick_fill
from drafting.layplan.strip import Layout, StripProblem
from drafting.layplan.table import end_of_lengths, usable_length
from drafting.layplan.verify import verify

#: Nobody waits longer for a lay, s.
GREATEST_SECONDS = 600.0

#: Seconds between two looks at the packing process, at the clock and at ``cancelled``.
LOOK_EVERY = 0.05

#: A packing process needs about this long to start; with less it is not worth starting, s.
LEAST_SECONDS = 0.6

#: Where pieces may be turned, a search that turns none runs beside for this share of the seconds, and at
#: least and at most so many: the freedom never costs cloth.
ONE_WAY_SHARE, LEAST_ONE_WAY, MOST_ONE_WAY = 0.15, 1.2, 3.0

#: After so many seconds the usual packer gives its core to a second separation, if the first is ahead of it.
GIVES_WAY = 3.0

#: Seconds kept back for verifying and for ending the process.
KEPT_BACK = 0.1

#: Layouts of the packer that are slid together and verified, shortest first, before the quick fill is taken.
TRIED = 3

#: Lengths this near are the same, mm.
NO_MATTER = 0.01

#: Above so many parts sliding takes longer than it gains.
GREATEST_TO_SLIDE = 150

OnProgress = Callable[[float, float], None]
"""Told the share of the time that is used, 0 to 1, and the length of the best lay so far, mm."""

WORDS = {
    "engine": "strip packing",
    "search": "fill and search",
    "separation": "parting overlaps",
    "fill": "quick fill",
    "start": "an earlier lay",
    "rows": "boxes in rows",
}


def plan_lay(
    items: Sequence[LayItem],
    cloth: Cloth,
    *,
    seconds: float = 2.0,
    seed: int = 0,
    on_progress: OnProgress | None = None,
    cancelled: Callable[[], bool] | None = None,
    rotations: tuple[float, ...] | None = None,
    increment_mm: float = SELLERS_INCREMENT,
    start: LayPlan | None = None,
) -> LayPlan:
    """Lay the items on the cloth as short as can be found in the time.

    The same seed does not always give the same lay, because the clock decides when to stop: keep the plan.

    Args:
        items: what to lay (``items_for``, ``read_items``).
        cloth: what to lay it on.
        seconds: time to use, above 0 and up to 600; a plan comes even if they are too few.
        seed: of the packers, 0 or more.
        on_progress: called a few times a second, in the caller's thread.
        cancelled: asked as often; once true, the best plan so far is returned.
        rotations: turns allowed, degrees, in place of those of the cloth.
        increment_mm: what the seller rounds a length to.
        start: a lay of the same items that this cloth allows as well: what comes is never longer.

    Raises:
        BadCloth: nothing to lay, or something that cannot be laid; seconds or seed out of range.
        TooWide: a piece wider than the cloth. DoesNotFit: lengths too short, and no roll.
    """
    started = monotonic()
    _check_request(seconds, seed)
    allowed = cloth.rotations if rotations is None else rotations
    problem = strip_problem(items, cloth, allowed)
    watch = _Watch(problem, started, seconds, seed=seed, on_progress=on_progress, cancelled=cancelled)
    if start is not None and (known := layout_of(start, problem, items)) is not None:
        watch.add("start", known)
    watch.run()
    for found_by, layout in watch.layouts():
        plan = plan_of(layout, problem, items, cloth, rotations=allowed, increment_mm=increment_mm)
        if not verify(plan, items, allowed):
            _check_lengths(plan)
            return replace(
                plan,
                seconds=monotonic() - started,
                found_by=WORDS[found_by],
                remarks=tuple(watch.remarks),
            )
    raise BadCloth("No sound lay was found for these pieces; look at their outlines.", field="items")


class _Step(NamedTuple):
    """A packer at work on a problem until so many seconds of the whole time have passed.

    ``gives_way``: to the next step, once it is behind the separation.
    """

    packer: str
    problem: StripProblem
    until: float
    gives_way: bool = False


class _Watch:
    """Packs until the time is up, nothing better comes, or it is cancelled; keeps what was found."""

    def __init__(
        self,
        problem: StripProblem,
        started: float,
        seconds: float,
        *,
        seed: int,
        on_progress: OnProgress | None,
        cancelled: Callable[[], bool] | None,
    ) -> None:
        self.problem = problem
        self.remarks: list[str] = []
        self._started, self._seconds, self._seed = started, seconds, seed
        self._on_progress, self._cancelled = on_progress, cancelled
        self._found: list[tuple[str, Layout, float]] = []
        self._over = Event()

    def run(self) -> None:
        """Pack on every track until all are through or it is over; only here is anybody told or asked."""
        tracks = [
            Thread(target=self._work, args=(steps, self._seed + number), daemon=True)
            for number, steps in enumerate(self._tracks())
        ]
        for track in tracks:
            track.start()
        # Processes take their time to start; meanwhile the quick fill makes sure of a plan.
        self.add("fill", quick_fill(self.problem))
        while running := [track for track in tracks if track.is_alive()]:
            self._tell()
            if self._is_cancelled() or self._cannot_be_shorter():
                break
            running[0].join(LOOK_EVERY)
        self._over.set()
        for track in tracks:
            track.join()
        self._tell()

    def add(self, found_by: str, layout: Layout) -> None:
        self._found.append((found_by, layout, layout.length(self.problem)))

    def layouts(self) -> list[tuple[str, Layout]]:
        """What to hand out, most wished for first: the best of the packers, the quick fill, boxes in rows."""
        tried = sorted(self._found, key=lambda found: found[2])[:TRIED]
        best = [(name, self._slid(layout)) for name, layout, _ in tried]
        best += [(name, layout) for name, layout, _ in tried]
        best.sort(key=lambda found: found[1].length(self.problem))
        fill = [(name, layout) for name, layout, _ in self._found if name == "fill"]
        return [*best, *fill, ("rows", boxes_in_rows(self.problem))]

    def _tracks(self) -> list[list[_Step]]:
        """What is tried side by side, and on each track in turn until one step comes to its end."""
        usual = ("engine", "search") if self.problem.is_free else ("search",)
        first, *others = usual
        theirs = [_Step(first, self.problem, self._seconds, gives_way=True)]
        theirs += [_Step(packer, self.problem, self._seconds) for packer in ("separation", *others)]
        # The separation finds nothing where its tables would take too long.
        ours = [_Step(packer, self.problem, self._seconds) for packer in ("separation", first)]
        one_way = self.problem.one_way()
        if self.problem.is_free and one_way != self.problem:
            share = min(max(ONE_WAY_SHARE * self._seconds, LEAST_ONE_WAY), MOST_ONE_WAY)
            ours.insert(0, _Step("engine", one_way, share))
        return [theirs, ours]

    def _work(self, steps: list[_Step], seed: int) -> None:
        for step in steps:
            left = min(step.until, self._seconds - KEPT_BACK) - self._used()
            if left < LEAST_SECONDS or self._over.is_set():
                continue
            with PackingProcess(step.packer, step.problem, seconds=left, seed=seed) as process:
                gave_way = self._follow(process, step)
                failure = process.failure
            if not failure and not gave_way and step.problem is self.problem and process.layouts:
                return
            if failure and not self._over.is_set():
                self._note(
                    f"{WORDS[step.packer]} stopped early ({failure}); the best lay found without it is shown"
                )

    def _follow(self, process: PackingProcess, step: _Step) -> bool:
        """Keep its layouts until its end or that of its time; whether it gave way."""
        known, best = 0, float("inf")
        end = min(step.until, self._seconds - KEPT_BACK)
        while (left := end - self._used()) > 0:
            running = process.is_running
            for layout in process.layouts[known:]:
                known += 1
                best = min(best, layout.length(self.problem))
                self.add(step.packer, layout)
            if step.gives_way and self._used() > GIVES_WAY and self._best("separation") < best:
                return True
            if not running or self._over.is_set():
                break
            process.wait(min(LOOK_EVERY, left))
        return False

    def _note(self, remark: str) -> None:
        if remark not in self.remarks:
            self.remarks.append(remark)

    def _slid(self, layout: Layout) -> Layout:
        return compact(layout, self.problem) if len(self.problem.parts) <= GREATEST_TO_SLIDE else layout

    def _best(self, packer: str | None = None) -> float:
        """The least length that was found, by one packer if it is named."""
        lengths = (length for name, _, length in self._found if packer in (None, name))
        return min(lengths, default=float("inf"))

    def _cannot_be_shorter(self) -> bool:
        """Whether the best layout is only as long as the longest part, which no layout can beat."""
        longest = max(min(extent(p.outline)[0] for p in part.poses) for part in self.problem.parts)
        return self._best() <= longest + NO_MATTER

    def _used(self) -> float:
        return monotonic() - self._started

    def _is_cancelled(self) -> bool:
        return self._cancelled is not None and self._cancelled()

    def _tell(self) -> None:
        if self._on_progress is not None:
            self._on_progress(min(1.0, self._used() / self._seconds), self._best())


def _check_lengths(plan: LayPlan) -> None:
    """Refuse a lay that is longer than the lengths there are, where there is no roll."""
    cloth = plan.cloth
    end = end_of_lengths(cloth)
    if not cloth.roll and plan.length > end + NO_MATTER:
        available = sum(usable_length(stretch, cloth) for stretch in cloth.stretches)
        raise DoesNotFit(available=available, over=plan.length - end)


def _check_request(seconds: float, seed: int) -> None:
    if not isfinite(seconds) or not 0 < seconds <= GREATEST_SECONDS:
        raise BadCloth(
            f"seconds: give a time above 0 and up to {GREATEST_SECONDS:.0f} seconds.", field="seconds"
        )
    if not 0 <= seed < 2**32:
        raise BadCloth("seed: give a whole number from 0 to 4294967295.", field="seed")
