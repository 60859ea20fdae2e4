"""The best plan that the time allows, and never a worse one than the rules of dispatch make."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace

from ortools.sat.python import cp_model

from .compiled import Compiled
from .dispatch import Dispatched, best_dispatch
from .errors import CannotPlan
from .improve import improve
from .model import Model
from .one_machine import improve_sequence, line_of
from .present import Standing, present_plan
from .problem import WEIGHT_STEPS, Objective, Plan, Problem, cost_of, minutes_late, tidy
from .queues import best_queued
from .recreate import recreate
from .search import Limit
from .serial import close_up
from .windows import plan_in_windows

WORKERS = 2
MANY_TASKS = 5_000
RULES_SHARE = 0.25
"""How much of the time the rules of dispatch may take before the first that is made has to do, where there
are more tasks than that; with fewer, all of them take a moment."""

LIST_SHARE = 0.3
"""How much of the time may go into improving the list of the best rule, before the constraint solver has
the rest."""

LINE_SHARE = 0.8
"""The same where all is one sequence on one machine."""

BUILD_SECONDS_A_TASK = 0.003
"""About how long the model of one task takes to build (measured with 15 people and a year of openings). Where
that would take half of the time, the work is planned by windows instead."""

SEARCH_SHARE = 0.85
"""The share of the time in which less lateness is searched for; in the rest, what is asked next."""

LEAST_SEARCH_SECONDS = 0.1
CANCEL_EVERY_SECONDS = 0.2


def make_plan(
    problem: Problem,
    *,
    seconds: float = 10.0,
    seed: int = 0,
    workers: int = WORKERS,
    cancelled: Callable[[], bool] | None = None,
    standing: Sequence[Sequence[Standing]] | None = None,
) -> Plan:
    """Return the best plan found within ``seconds``.

    The search starts from the best plan of the dispatch rules, and what it ends with is never worse. With
    no seconds, or once ``cancelled`` returns true, the best plan so far stands. ``bound`` is a cost that no
    plan can beat; the plan is optimal where it is reached. The plan's own ``seconds`` are those that it took.

    ``standing`` is the plan that people know: it is kept where nothing costs less, and what costs less
    differs from it as little as may be. Of plans that cost the same, fittings can then be soonest, then the
    load is most even.

    Raises:
        CannotPlan: no plan fits in the openings, or none was found in the time.
    """
    limit = Limit.of(seconds, cancelled)
    compiled = Compiled(problem)
    present = _as_it_stands(compiled, standing)
    known = _better(present, best_dispatch(compiled, _rules_end(compiled, limit)))
    floor = _floor_cost(compiled)
    asks_more = _asks_more(compiled, present)
    whole = SEARCH_SHARE if asks_more else 1.0
    modelled = known is None or _has_time_for_the_model(compiled, seconds)
    if known is not None and known.cost > floor and seconds > 0:
        share = limit.share(_list_share(compiled, modelled, whole))
        known = _improved(compiled, known, share, seed=seed, windows=not modelled)
    if known is not None and (known.cost <= floor or not modelled):
        made = Plan(known.places, known.cost, tidy(min(floor, known.cost)), known.cost <= floor, 0.0)
    else:
        made = _search(compiled, known, floor, limit.share(whole), seed=seed, workers=workers)
    if seconds > 0 and asks_more:
        made = _settled(compiled, made, present, limit, seed)
    return replace(made, seconds=limit.spent)


def _rules_end(compiled: Compiled, limit: Limit) -> Callable[[], bool]:
    """Return what ends the rules' turn: of a workshop so large that one of them takes its time, not all are
    tried."""
    rules = limit.share(RULES_SHARE)
    return lambda: len(compiled.works) > MANY_TASKS and rules.is_over()


def _as_it_stands(compiled: Compiled, standing: Sequence[Sequence[Standing]] | None) -> Dispatched | None:
    """Return the plan that people know, carried forward; None where there is none, or it fits no more."""
    if standing is None or all(name is None for row in standing for name, _ in row):
        return None
    try:
        places = present_plan(compiled.problem, standing)
    except CannotPlan:
        return None
    return Dispatched("as it stands", places, cost_of(compiled.problem, places))


def _better(one: Dispatched | None, other: Dispatched | None) -> Dispatched | None:
    """Return the plan that costs less; the first where they cost the same."""
    plans = [plan for plan in (one, other) if plan is not None]
    return min(plans, key=lambda plan: plan.cost, default=None)


def _asks_more(compiled: Compiled, present: Dispatched | None) -> bool:
    """Tell whether plans that are equally late may differ in what is asked next."""
    if compiled.problem.objective is Objective.MAKESPAN:
        return False
    return (
        present is not None
        or len(compiled.problem.resources) > 1
        or any(work.task.eager for work in compiled.works)
    )


def _list_share(compiled: Compiled, modelled: bool, whole: float) -> float:
    """Return the share of the time in which the list is improved: a line of tasks is hardest to prove and
    easiest to improve."""
    if not modelled:
        return whole
    return LINE_SHARE if line_of(compiled) is not None else LIST_SHARE


def _settled(compiled: Compiled, made: Plan, present: Dispatched | None, limit: Limit, seed: int) -> Plan:
    """Return a plan that costs no more and is better by what is asked next; see ``recreate``."""
    known = None if present is None else [place for row in present.places for place in row]
    first = Dispatched("searched", made.places, made.objective)
    best = recreate(compiled, first, seed=seed, stop=limit.is_over, known=known)
    return replace(made, places=best.places, objective=best.cost, optimal=best.cost <= made.bound)


def _has_time_for_the_model(compiled: Compiled, seconds: float) -> bool:
    return len(compiled.works) * BUILD_SECONDS_A_TASK < seconds / 2


def _improved(compiled: Compiled, known: Dispatched, limit: Limit, *, seed: int, windows: bool) -> Dispatched:
    line = line_of(compiled)
    if line is not None:
        return improve_sequence(compiled, line, known, seed=seed, stop=limit.is_over)
    if compiled.problem.objective is Objective.TARDINESS:
        known = best_queued(compiled, known, limit)
        if windows:
            return plan_in_windows(compiled, known, seed=seed, limit=limit)
    return improve(compiled, known, seed=seed, stop=limit.is_over)


def _search(
    compiled: Compiled, known: Dispatched | None, floor: float, limit: Limit, *, seed: int, workers: int
) -> Plan:
    try:
        model = Model(compiled, known)
    except CannotPlan:
        if known is None:
            raise
        # Waits, and tasks of no minutes at the edge of an opening, leave the model less room than there is.
        return Plan(known.places, known.cost, tidy(floor), False, 0.0)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = max(limit.left, LEAST_SEARCH_SECONDS)
    solver.parameters.random_seed = seed
    solver.parameters.num_workers = workers
    with _stopping(solver, limit.cancelled):
        status = solver.solve(model.proto)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return _without_solution(compiled, known, floor, status, solver)
    found = close_up(compiled, compiled.places(model.placements(solver)))
    if found is None:
        return _without_solution(compiled, known, floor, status, solver)
    places, cost = found, cost_of(compiled.problem, found)
    if known is not None and known.cost <= cost:
        places, cost = known.places, known.cost
    bound = max(floor, model.bound(solver))
    return Plan(places, cost, tidy(min(bound, cost)), bound >= cost, solver.wall_time)


def _without_solution(
    compiled: Compiled, known: Dispatched | None, floor: float, status: object, solver: cp_model.CpSolver
) -> Plan:
    if known is not None:
        return Plan(known.places, known.cost, tidy(floor), False, 0.0)
    if status == cp_model.INFEASIBLE:
        raise CannotPlan(
            "resources", "are not open long enough for the work of all orders; open longer or take work off"
        )
    raise CannotPlan(
        "orders", "no plan was found in the time given; allow more seconds, open longer or take work off"
    )


def _floor_cost(compiled: Compiled) -> float:
    """Return what the plan would cost were every resource each task's own: no plan costs less."""
    ends: list[list[int]] = [[] for _ in compiled.problem.orders]
    for work, (_, end) in zip(compiled.works, compiled.heads, strict=True):
        ends[work.order].append(end)
    if compiled.problem.objective is Objective.MAKESPAN:
        return max((end for row in ends for end in row), default=0)
    late = (
        weight * minutes_late(order, row)
        for weight, order, row in zip(compiled.weight, compiled.problem.orders, ends, strict=True)
    )
    return tidy(sum(late) / WEIGHT_STEPS)


@contextmanager
def _stopping(solver: cp_model.CpSolver, cancelled: Callable[[], bool] | None) -> Iterator[None]:
    """Stop the search soon after ``cancelled`` first returns true."""
    if cancelled is None:
        yield
        return
    done = threading.Event()

    def watch() -> None:
        while not done.wait(CANCEL_EVERY_SECONDS):
            if cancelled():
                solver.stop_search()

    watcher = threading.Thread(target=watch, name="plan cancel watch", daemon=True)
    watcher.start()
    try:
        yield
    finally:
        done.set()
        watcher.join()
