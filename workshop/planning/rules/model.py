"""The problem as a constraint model for OR-Tools CP-SAT.

Work is modelled in open time (see open_time), so that nights and closed days, which are nobody's, take no
part. A resource does nothing while it is closed, so two tasks overlap in working time exactly where they
overlap there; what differs is how long a split task lasts where a person is away while others are there.
Its pause is constant over whole stretches of starts (see openings.Stretch), and one literal a stretch says
which holds. That is exact for resources with different openings, because each stretch belongs to one
resource.

Domains are cut by what a plan at least as good as the known one must satisfy, never by a guess, so that
"optimal" is the optimum of the problem and not of a smaller one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from .compiled import Compiled, Work
from .dispatch import Dispatched
from .errors import CannotPlan
from .machines import Held
from .open_time import OpenTime
from .openings import Stretch
from .problem import FURTHEST_MINUTE, Objective, Placement, tidy, weight_steps

WHOLE = 1000
"""Thousandths of weight in a whole one; weights that are all whole are counted in whole ones."""


@dataclass
class _Choice:
    """One resource that a task may go to: taken when ``taken`` is true; its stretches only where it may
    pause."""

    resource: int
    taken: cp_model.IntVar | None
    stretches: list[tuple[Stretch, cp_model.IntVar]] = field(default_factory=list)


@dataclass
class _Placed:
    """The variables of one task."""

    start: cp_model.IntVar
    end: cp_model.LinearExprT
    pause: cp_model.IntVar | None
    free_end: cp_model.IntVar | None  # the end, where it is a variable of its own
    choices: list[_Choice]


@dataclass
class _Late:
    """What is late when the last of ``works`` ends after ``due``: an order, or a task with a due of its own.

    ``reached`` are the openings after the due, each with its count and whether ``end`` lies beyond it.
    """

    order: int
    due: int
    works: list[int]
    minutes: cp_model.IntVar
    end: cp_model.IntVar
    reached: list[tuple[cp_model.IntVar, int]]


class Model:
    """The constraint model of a problem, its hint, and the way back to placements."""

    def __init__(self, problem: Compiled, known: Dispatched | None) -> None:
        self.problem = problem  # in minutes
        self.time = OpenTime(problem.problem)
        self.compiled = Compiled(self.time.shorten(problem.problem))  # in open minutes
        self.proto = cp_model.CpModel()
        self.scale = _scale(problem)
        self._latest = [self.time.count(end) for end in _latest_ends(problem, known)]
        self.is_exact = not any(work.task.wait for work in problem.works)
        self._lanes: list[list[cp_model.IntervalVar]] = [[] for _ in problem.problem.resources]
        self._tasks: dict[int, _Placed] = {}
        self._machines: list[list[cp_model.IntervalVar]] = [[] for _ in problem.problem.machines]
        self._late: list[_Late] = []
        for work in self.compiled.works:
            if work.task.pinned is None:
                self._tasks[work.index] = self._add_task(work)
        self._add_pins()
        for lane in self._lanes:
            self.proto.add_no_overlap(lane)
        self._add_machines()
        self._add_sequence()
        self._add_objective()
        if known is not None:
            self._add_hint(known)

    def bound(self, solver: cp_model.CpSolver) -> float:
        """Return a cost, in minutes, that no plan can beat; 0 where the model is not exact. Costs are whole
        steps, so a part of one counts whole."""
        if not self.is_exact:
            return 0
        steps = math.ceil(solver.best_objective_bound - 1e-6)
        if self.compiled.problem.objective is Objective.MAKESPAN:
            return self.time.end(steps)
        return tidy(steps * self.scale / WHOLE)

    def placements(self, solver: cp_model.CpSolver) -> list[Placement]:
        """Return the placements of the solver's present solution, flat."""
        return [self._placement(work, solver) for work in self.problem.works]

    def _placement(self, work: Work, solver: cp_model.CpSolver) -> Placement:
        if work.task.pinned is not None:
            return work.task.pinned
        placed = self._tasks[work.index]
        chosen = next(c for c in placed.choices if c.taken is None or solver.boolean_value(c.taken))
        return self.problem.placement(
            work.index, chosen.resource, self.time.start(solver.value(placed.start))
        )

    def _add_task(self, work: Work) -> _Placed:
        offers = self._offers(work)
        minutes = {work.minutes_on(resource) for resource, _ in offers}
        start = self.proto.new_int_var_from_domain(
            _starts(s for _, found in offers for s in found), f"start {work.index}"
        )
        pauses = sorted({stretch.pause for _, found in offers for stretch in found})
        pause = free_end = None
        end: cp_model.LinearExprT = start + min(minutes) + pauses[0]
        if len(pauses) > 1:
            pause = self.proto.new_int_var_from_domain(
                cp_model.Domain.from_values(pauses), f"pause {work.index}"
            )
        if len(pauses) > 1 or len(minutes) > 1:
            end = free_end = self.proto.new_int_var(0, FURTHEST_MINUTE, f"end {work.index}")
        placed = _Placed(start, end, pause, free_end, [])
        for resource, stretches in offers:
            placed.choices.append(self._add_choice(work, placed, resource, stretches, alone=len(offers) == 1))
        if len(offers) > 1:
            self.proto.add_exactly_one(choice.taken for choice in placed.choices if choice.taken is not None)
        return placed

    def _add_choice(
        self, work: Work, placed: _Placed, resource: int, stretches: Sequence[Stretch], *, alone: bool
    ) -> _Choice:
        taken = None if alone else self.proto.new_bool_var(f"{work.index} on {resource}")
        choice = _Choice(resource, taken)
        size = work.minutes_on(resource) + (stretches[0].pause if placed.pause is None else placed.pause)
        if taken is None:
            lane = self.proto.new_interval_var(placed.start, size, placed.end, f"{work.index}")
        else:
            lane = self.proto.new_optional_interval_var(
                placed.start, size, placed.end, taken, f"{work.index}@{resource}"
            )
            self.proto.add_linear_expression_in_domain(placed.start, _starts(stretches)).only_enforce_if(
                taken
            )
        if work.minutes_on(resource):  # what takes no time is in nobody's way
            self._lanes[resource].append(lane)
            for machine in work.machines:
                self._machines[machine].append(lane)
        if placed.pause is not None:
            self._add_stretches(placed, choice, stretches)
        return choice

    def _add_stretches(self, placed: _Placed, choice: _Choice, stretches: Sequence[Stretch]) -> None:
        assert placed.pause is not None
        by_pause: dict[int, list[Stretch]] = {}
        for stretch in stretches:
            by_pause.setdefault(stretch.pause, []).append(stretch)
        literals = []
        for pause, group in by_pause.items():
            holds = self.proto.new_bool_var("")
            self.proto.add(placed.pause == pause).only_enforce_if(holds)
            self.proto.add_linear_expression_in_domain(placed.start, _starts(group)).only_enforce_if(holds)
            literals.append(holds)
            choice.stretches += [(stretch, holds) for stretch in group]
        if choice.taken is None:
            self.proto.add_exactly_one(literals)
        else:
            self.proto.add(sum(literals) == choice.taken)

    def _offers(self, work: Work) -> list[tuple[int, list[Stretch]]]:
        """Return the resources on which the task can lie at all, each with its allowed starts."""
        earliest, _ = self.compiled.heads[work.index]
        offers = []
        for resource in work.resources:
            openings = self.compiled.openings[resource]
            latest = self._latest[work.index]
            minutes = work.minutes_on(resource)
            found = list(openings.stretches(minutes, earliest, latest, split=work.task.split))
            if found:
                offers.append((resource, found))
        if not offers:
            raise CannotPlan(
                _field(self.compiled, work),
                "does not fit in the openings after the tasks that come before it; open longer",
            )
        return offers

    def _add_machines(self) -> None:
        """Let no more of a machine be held than there are, beside what is pinned."""
        held = Held(self.compiled)
        for number, (lane, count) in enumerate(zip(self._machines, held.counts, strict=True)):
            pins, demands = [], []
            for span, used in held.profile(number):
                pins.append(self.proto.new_fixed_size_interval_var(span.start, span.end - span.start, ""))
                demands.append(used)
            if count == 1:
                self.proto.add_no_overlap([*lane, *pins])
            else:
                self.proto.add_cumulative([*lane, *pins], [*[1] * len(lane), *demands], count)

    def _add_pins(self) -> None:
        for work in self.compiled.works:
            for span in work.task.pinned.spans if work.task.pinned else ():
                lane = self.proto.new_fixed_size_interval_var(
                    span.start, span.end - span.start, f"pin {work.index}"
                )
                self._lanes[self.compiled.number_of[work.task.pinned.resource]].append(lane)  # type: ignore[union-attr]

    def _add_sequence(self) -> None:
        for index, placed in self._tasks.items():
            work = self.compiled.works[index]
            for before in work.before:
                # Counted in open minutes a wait is not of one length: it is taken as the longest that it
                # can be, and the plan is closed up afterwards.
                self.proto.add(placed.start >= self._end(before) + work.task.wait)

    def _end(self, index: int) -> cp_model.LinearExprT:
        pinned = self.compiled.works[index].task.pinned
        return self._tasks[index].end if pinned is None else pinned.end

    def _add_objective(self) -> None:
        if self.compiled.problem.objective is Objective.MAKESPAN:
            longest = self.proto.new_int_var(0, FURTHEST_MINUTE, "makespan")
            for work in self.compiled.works:
                self.proto.add(longest >= self._end(work.index))
            self.proto.minimize(longest)
            self._longest = longest
            return
        for number, order in enumerate(self.problem.problem.orders):
            if order.weight > 0:
                works = [work for work in self.compiled.works if work.order == number]
                if order.due is not None:
                    self._late.append(self._lateness(works, order.due))
                for work in works:
                    if work.task.due is not None:
                        self._late.append(self._lateness([work], work.task.due))
        self.proto.minimize(
            sum(self.compiled.weight[late.order] // self.scale * late.minutes for late in self._late)
        )

    def _lateness(self, works: Sequence[Work], due: int) -> _Late:
        """Return with a variable not less than the minutes by which the tasks are late, closed time and all.

        Counted in open minutes from its due time, plus the closed time before each later opening that it
        reaches. Ends before that opening are not late and need no exact figure.
        """
        number = works[0].index
        latest = max(0, *(_pinned_end(work) or self._latest[work.index] for work in works))
        end = self.proto.new_int_var(0, latest, f"end of {number}")
        for work in works:
            self.proto.add(end >= self._end(work.index))
        found: list[tuple[cp_model.IntVar, int]] = []
        closed: list[cp_model.LinearExpr] = []
        for count, pause in self.time.pauses_after(due):
            if count >= latest:
                break
            reached = self.proto.new_bool_var(f"{number} reaches {count}")
            self.proto.add(end > count).only_enforce_if(reached)
            self.proto.add(end <= count).only_enforce_if(~reached)
            found.append((reached, count))
            closed.append(pause * reached)
        late = self.proto.new_int_var(0, 2 * FURTHEST_MINUTE, f"late {number}")
        self.proto.add(late >= end + self.time.offset(due) - due + sum(closed))
        return _Late(works[0].order, due, [work.index for work in works], late, end, found)

    def _add_hint(self, known: Dispatched) -> None:
        flat = [place for row in known.places for place in row]
        names = [resource.name for resource in self.compiled.problem.resources]
        for index, placed in self._tasks.items():
            place = flat[index]
            start, end = self.time.count(place.start), self.time.count(place.end)
            resource = self.compiled.number_of[place.resource]
            pause = end - start - self.compiled.works[index].minutes_on(resource)
            self.proto.add_hint(placed.start, start)
            if placed.free_end is not None:
                self.proto.add_hint(placed.free_end, end)
            if placed.pause is not None:
                self.proto.add_hint(placed.pause, pause)
            for choice in placed.choices:
                here = names[choice.resource] == place.resource
                if choice.taken is not None:
                    self.proto.add_hint(choice.taken, here)
                for literal, holds in _hinted(choice, start, here=here):
                    self.proto.add_hint(literal, holds)
        self._hint_objective(known)

    def _hint_objective(self, known: Dispatched) -> None:
        if self.compiled.problem.objective is Objective.MAKESPAN:
            self.proto.add_hint(self._longest, self.time.count(round(known.cost)))
            return
        flat = [place for row in known.places for place in row]
        for late in self._late:
            end = max(flat[index].end for index in late.works)
            self.proto.add_hint(late.minutes, max(0, end - late.due))
            self.proto.add_hint(late.end, self.time.count(end))
            for reached, count in late.reached:
                self.proto.add_hint(reached, self.time.count(end) > count)


def _hinted(choice: _Choice, start: int, *, here: bool) -> list[tuple[cp_model.IntVar, bool]]:
    """Return each stretch literal of the choice once, true for the one that holds the start."""
    holds: dict[int, tuple[cp_model.IntVar, bool]] = {}
    for stretch, literal in choice.stretches:
        inside = here and stretch.first <= start <= stretch.last
        before = holds.get(literal.index, (literal, False))
        holds[literal.index] = (literal, before[1] or inside)
    return list(holds.values())


def _pinned_end(work: Work) -> int:
    return work.task.pinned.end if work.task.pinned is not None else 0


def _starts(stretches: object) -> cp_model.Domain:
    return cp_model.Domain.from_intervals([[s.first, s.last] for s in stretches])  # type: ignore[attr-defined]


def _scale(compiled: Compiled) -> int:
    return WHOLE if all(weight % WHOLE == 0 for weight in compiled.weight) else 1


def _field(compiled: Compiled, work: Work) -> str:
    first = next(other.index for other in compiled.works if other.order == work.order)
    return f"orders[{work.order}].tasks[{work.index - first}]"


def _latest_ends(compiled: Compiled, known: Dispatched | None) -> list[int]:
    """Return for each task an end that no plan at least as good as the known one exceeds."""
    horizon = _horizon(compiled)
    by_order = [horizon] * len(compiled.problem.orders)
    if known is not None and compiled.problem.objective is Objective.MAKESPAN:
        by_order = [min(horizon, round(known.cost))] * len(by_order)
    elif known is not None:
        spent = round(known.cost * WHOLE)
        for number, order in enumerate(compiled.problem.orders):
            if order.due is not None and weight_steps(order) > 0:
                by_order[number] = min(horizon, max(0, order.due) + spent // weight_steps(order))
    latest = [by_order[work.order] for work in compiled.works]
    for index in reversed(compiled.sequence):
        for then in compiled.works[index].then:
            if compiled.works[then].task.pinned is None:
                task = compiled.works[then].task
                latest[index] = min(latest[index], latest[then] - task.minutes - task.wait)
    return latest


def _horizon(compiled: Compiled) -> int:
    """Return a minute by which some best plan has ended.

    Ends only cost more as they grow later, so some best plan leaves nobody idle who could go on; once all
    is released and every resource with closing times has closed for good, the rest runs without a gap on
    those always open.
    """
    closes = [resource.open[-1].end for resource in compiled.problem.resources if resource.open]
    pins = [work.task.pinned.end for work in compiled.works if work.task.pinned]
    waits = sum(work.task.wait for work in compiled.works)
    settled = max([0, *closes, *pins, *(work.release for work in compiled.works)]) + waits
    if all(resource.open is not None for resource in compiled.problem.resources):
        return settled
    return min(FURTHEST_MINUTE, settled + sum(work.task.minutes for work in compiled.works))
