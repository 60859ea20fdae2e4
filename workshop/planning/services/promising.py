"""The day that can be promised for an order that is quoted, and what would help where it is too late."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

import drafting
from costing.rules.labour import Operation
from drafting.styles.parts.linings import NO_LINING
from workshop.errors import REFUSALS
from workshop.orders.models import Draft, Garment, Order
from workshop.orders.queries import body_for, operations_of, pattern_of
from workshop.planning.rules import remedies
from workshop.planning.rules.joining import join
from workshop.planning.rules.problem import Order as Asked
from workshop.planning.rules.promise import LIKELY, Promise, Tight, odds_words, promise, tightest
from workshop.planning.services.beside import NOT_BEGUN, answered, day_after, minute_before, others_than
from workshop.planning.services.floor import Floor, Floors, order_of

MOST_TASKS_TRIED = 600
"""With more open work than this nothing that would help is tried: each trial plans all of it again."""

MOST_WAYS = 2
MOST_LATER = 4
"""So many of those that a rush makes late are named."""


@dataclass(frozen=True, slots=True)
class OrderPromise:
    """The first day on which an order can be handed over, at even odds and nine times out of ten.

    Args:
        even_on, likely_on: the day after the work is done, as a due day is.
        wished_on: the order's due day.
        chance: share of the simulated runs in which the wished day is kept, 0 to 1.
        why: what stands in the way where the wished day is not kept nine times out of ten; else empty.
        helps: what would keep it, each by itself.
        rush: what it would cost others to put the order first; empty where the wished day is kept.
        undrafted: garments that are not reckoned in, for nothing is known of their work yet.
        spread_words: where the spread of the real minutes comes from.
    """

    even_on: date
    likely_on: date
    wished_on: date
    chance: float
    why: str
    helps: tuple[str, ...]
    undrafted: tuple[str, ...]
    spread_words: str
    rush: str = ""

    @property
    def is_kept(self) -> bool:
        return self.chance >= LIKELY

    @property
    def odds(self) -> str:
        """Return the chance in words."""
        return odds_words(self.chance)


def promise_order(*, order: Order, now: datetime) -> OrderPromise | None:
    """Return the day that can be promised for an order beside all other open work. Writes nothing.

    The other work stays as the present plan has it; the order's garments go between. None where no garment
    of it has any work left that is known.

    Raises:
        CannotPlanWorkshop: it fits in nobody's hours.
    """
    return answered(Floors(order.workshop, now), lambda floor: _answer(order, floor, now))


def _answer(order: Order, floor: Floor, now: datetime) -> OrderPromise | None:
    asking = _Asking(order, floor, now)
    return asking.answer() if asking.asked else None


class _Asking:
    """An order that is asked about, and the floor apart from it."""

    def __init__(self, order: Order, floor: Floor, now: datetime) -> None:
        self.order, self.floor, self.workshop, self.now = order, floor, order.workshop, now
        others = others_than(floor, order.pk)
        self.others, self.problem, self.places = others.garments, others.problem, others.places
        self.by = minute_before(floor, self.workshop, order.due_on)
        self.drafts, self.undrafted = _drafts(order, floor)
        self.asked = self._asked()

    def answer(self) -> OrderPromise:
        made = promise(self.problem, self.places, self.asked)
        chance = made.kept(self.by)
        late = chance < LIKELY
        tight = tightest(self.problem, self.places, self.asked, self.by) if late else None
        return OrderPromise(
            even_on=self._day_after(made.even),
            likely_on=self._day_after(made.likely),
            wished_on=self.order.due_on,
            chance=chance,
            why="" if tight is None else self._why(tight, made),
            helps=() if tight is None else tuple(self._helps(tight)),
            undrafted=tuple(self.undrafted),
            spread_words=_spread_words(self.floor),
            rush=self._rush() if late else "",
        )

    def _asked(self, without_lining_of: int | None = None) -> list[Asked]:
        """Return the order's own garments as orders of the problem; what is listed as tasks comes as such."""
        found = []
        for garment, order in zip(self.floor.garments, self.floor.problem.orders, strict=True):
            if garment.order_id == self.order.pk and garment.pk != without_lining_of:
                found.append(order)
        for draft in self.drafts:
            if draft.garment_id not in self._listed and draft.garment_id != without_lining_of:
                found.append(order_of(self.floor, draft.garment, _operations(draft), self.now))
        return found

    @property
    def _listed(self) -> set[int]:
        return {garment.pk for garment in self.floor.garments}

    def _why(self, tight: Tight, made: Promise) -> str:
        names = _names(self.floor, tight.people)
        works = ", ".join(sorted({f"'{task.name}'" for task in tight.tasks}))
        asks = (
            f"{works} of this order: {_hours(tight.minutes)} by the estimate. {names} can do that and "
            f"{'has' if len(tight.people) == 1 else 'have'} {_hours(tight.free)} free before the day"
        )
        if tight.free < tight.minutes:
            return f"{asks}: too little."
        planned = max(place.end for row in made.places[len(self.others) :] for place in row)
        if planned > self.by:
            return f"{asks}, but not when it is needed: each step waits for the one before it."
        return f"{asks}: enough as long as nothing takes longer than reckoned, but with too little to spare."

    def _helps(self, tight: Tight) -> Iterator[str]:
        if self.by <= 0 or sum(map(len, self.floor.rows)) > MOST_TASKS_TRIED:
            return
        yield from self._longer_days(tight)
        yield from self._without_lining()
        yield from self._giving_way(tight)

    def _rush(self) -> str:
        if sum(map(len, self.floor.rows)) > MOST_TASKS_TRIED:
            return ""
        found = remedies.rush(self.problem, self.places, self.asked, by=self.by)
        if found is None:
            return ""
        ready = (
            f"Put before everything else, it can be promised for {self._words(self._day_after(found.likely))}"
        )
        if not found.later:
            return f"{ready}, and nothing else would be late for it."
        told = [self._later(self.others[number], likely) for number, likely in found.later[:MOST_LATER]]
        more = len(found.later) - len(told)
        rest = f", and {more} more later than their day" if more else ""
        return f"{ready}. Others could then be promised only later: {'; '.join(told)}{rest}."

    def _later(self, garment: Garment, likely: int) -> str:
        due_on = garment.order.due_on
        ready_on = self._day_after(likely, due_on)
        return (
            f"{garment.title} (order {garment.order.number}) for {self._words(ready_on)} instead of "
            f"{self._words(due_on)}"
        )

    def _longer_days(self, tight: Tight) -> Iterator[str]:
        found = remedies.overtime(
            self.problem, self.places, self.asked, people=tight.people, by=self.by, day_of=self._day
        )
        if found is not None:
            yield (
                f"{found.a_day} minutes longer a day for {_names(self.floor, tight.people)} until then, "
                f"{_hours(found.a_day * found.days)} in all at most, keeps it nine times out of ten. "
                "Ask what overtime your local rules allow."
            )

    def _without_lining(self) -> Iterator[str]:
        for draft in self.drafts:
            plainer = None if self._begun(draft) else _without_lining(draft)
            if plainer is None:
                continue
            saved = _minutes(_operations(draft)) - _minutes(plainer)
            rest = self._asked(without_lining_of=draft.garment_id)
            asked = [*rest, order_of(self.floor, draft.garment, plainer, self.now)]
            made = promise(self.problem, self.places, asked)
            then = (
                "that keeps it nine times out of ten"
                if made.kept(self.by) >= LIKELY
                else f"with that {self._words(self._day_after(made.likely))} can be promised"
            )
            yield f"{draft.garment.title} without its lining takes {_hours(saved)} less; {then}."

    def _begun(self, draft: Draft) -> bool:
        rows = zip(self.floor.garments, self.floor.rows, strict=True)
        return any(task.started_at for row, tasks in rows for task in tasks if row.pk == draft.garment_id)

    def _giving_way(self, tight: Tight) -> Iterator[str]:
        ways = remedies.giving_way(self.problem, self.places, self.asked, people=tight.people, by=self.by)
        for way in ways[:MOST_WAYS]:
            garment = self.others[way.number]
            due_on = garment.order.due_on
            ready_on = self._day_after(way.likely, due_on)
            keeps = "still before" if ready_on <= due_on else "so its day would have to move from"
            yield (
                f"If {garment.title} (order {garment.order.number}) waits for this order, the day is kept "
                f"nine times out of ten; it can itself be promised for {self._words(ready_on)}, {keeps} "
                f"{self._words(due_on)}."
            )

    def _day(self, minute: int) -> date:
        return self.workshop.day_of(self.floor.axis.instant(minute))

    def _day_after(self, minute: int, wished_on: date | None = None) -> date:
        return day_after(self.floor, self.workshop, minute, wished_on or self.order.due_on)

    def _words(self, day: date) -> str:
        return f"{day.day} {day:%B}" if day.year == self.order.due_on.year else f"{day.day} {day:%B %Y}"


def _drafts(order: Order, floor: Floor) -> tuple[list[Draft], list[str]]:
    """Return the drafts of the garments whose work is not begun, and the garments that have none."""
    listed = {garment.pk for garment in floor.garments}
    garments = list(
        Garment.objects.filter(order=order)
        .filter(stage__in=NOT_BEGUN)
        .select_related("wearer", "measurements", "workshop")
        .order_by("position", "pk")
    )
    held = {
        draft.garment_id: draft
        for draft in Draft.objects.filter(garment__in=garments, superseded_at__isnull=True).order_by("pk")
    }
    for garment in garments:
        if garment.pk in held:
            held[garment.pk].garment = garment
    undrafted = [row.title for row in garments if row.pk not in held and row.pk not in listed]
    return [held[row.pk] for row in garments if row.pk in held], undrafted


def _without_lining(draft: Draft) -> Sequence[Operation] | None:
    """Return the operations of the garment without its lining; None where it has none or needs it."""
    choices = draft.inputs["choices"]
    if choices.get("lining", NO_LINING) == NO_LINING:
        return None
    try:
        body = body_for(draft.garment)
        if body is None:
            return None
        plainer = drafting.make_draft(
            draft.inputs["style"], body, {**choices, "lining": NO_LINING}, draft.inputs["house"]
        )
    except REFUSALS:
        return None
    return operations_of(draft.garment, plainer).operations


def _operations(draft: Draft) -> Sequence[Operation]:
    return operations_of(draft.garment, pattern_of(draft)).operations


def _minutes(steps: Sequence[Operation]) -> int:
    return sum(joined.minutes for joined in join(steps))


def _names(floor: Floor, people: Sequence[str]) -> str:
    names = [floor.people[name].name for name in people]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _hours(minutes: float) -> str:
    whole, rest = divmod(round(minutes), 60)
    return f"{rest} min" if not whole else f"{whole} h {rest:02d} min" if rest else f"{whole} h"


def _spread_words(floor: Floor) -> str:
    learnt = floor.known.learnt
    own = [
        f"{group} (spread {learnt.scatter_of(group):.0%}, {count} task{'s' if count != 1 else ''})"
        for (kind, *group_of), count in sorted(learnt.counts.items())
        if kind == "group" and (group := group_of[0])
    ]
    usual = "the usual spread of 20 to 40 % (common practice, no source)"
    return f"your own timed tasks for {', '.join(own)}; else {usual}" if own else usual
