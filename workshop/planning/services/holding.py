"""A fitting that was held: what came of it, and what is to be done about it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial

from django.db import transaction

from drafting.units import Unit, format_length
from workshop.errors import Refusal
from workshop.orders.models import Garment, Stage
from workshop.orders.rules.stages import rule_for
from workshop.orders.services import move_garment, set_measurements
from workshop.orders.services.asking import ask_for_plan
from workshop.people.models import LengthUnit, Staff
from workshop.people.services.checking import clean_text, require_same_workshop
from workshop.people.services.log import write_log
from workshop.planning.models import Fitting, FittingChange, FittingOutcome, Task, TaskGroup
from workshop.planning.rules import alterations as rules
from workshop.planning.rules.alterations import MOST_MINUTES, Change
from workshop.planning.services.fittings import FittingClosed
from workshop.planning.services.garment_tasks import add_task
from workshop.planning.services.learning import measure_again, note_on_wearer

BACK_TO = {
    FittingOutcome.ALTERATION: Stage.SEW,
    FittingOutcome.RECUT: Stage.CUT,
    FittingOutcome.REMEASURE: Stage.MEASURE,
}
GROUP_OF = {FittingOutcome.ALTERATION: TaskGroup.ALTER, FittingOutcome.RECUT: TaskGroup.CUT}
_STAGES = list(Stage)


@dataclass(frozen=True, slots=True)
class Alteration:
    """One thing to change that no place of the list names, in words, and the standard minutes that it takes.

    Where a piece is cut again it names the piece.
    """

    what: str
    minutes: int


class BadFinding(Refusal):
    """A change by place cannot be; ``number`` (from 0) says which, ``part`` what of it."""

    def __init__(self, message: str, *, number: int, part: str) -> None:
        super().__init__(message, field="changes")
        self.number, self.part = number, part


@dataclass(frozen=True, slots=True)
class Work:
    """One alteration as it becomes a task."""

    words: str
    group: TaskGroup
    minutes: int
    steps: tuple[tuple[str, float], ...]
    change: Change | None = None


@transaction.atomic
def hold_fitting(
    *,
    fitting: Fitting,
    outcome: str,
    by: Staff,
    now: datetime,
    notes: str = "",
    changes: Sequence[Change] = (),
    alterations: Sequence[Alteration] = (),
    measures: Mapping[str, str] | None = None,
    confirmed: Collection[str] = (),
    signed_by: str = "",
) -> list[Task]:
    """Note how a fitting went. Returns the tasks that it made.

    An alteration sends the garment back to be sewn, a recut to be cut, a changed body to be measured; where
    it is not that far yet it stays. What was found is kept with the fitting and on the wearer: as an amount
    in the fit notes where there is one for the place, and in words.

    Args:
        changes: by place, with an amount; each makes a task of the steps that it takes.
        alterations: what no place names; or, of a recut, the pieces.
        measures: new measurements, name -> as written; kept in the wearer's book beside what was taken
            before. Where the body has changed the garment stands on them.
        confirmed: names of the measurements that are right, unlikely as they are.
        signed_by: whose word it is; ``by`` where nobody is named.

    Raises:
        FittingClosed: it was cancelled or held already, or lies in the future.
        BadFinding: a change that cannot be.
        MeasurementsRefused, UnansweredQuestions: as ``record_measurements``.
        Refusal: with ``field``: an unknown outcome; nothing said of what to change; minutes that cannot be.
    """
    require_same_workshop(fitting.workshop, by)
    chosen = _outcome(outcome, changes, alterations)
    notes = clean_text(notes, field="notes", longest=2000, what="the notes")
    signed = clean_text(signed_by or by.name, field="signed_by", longest=120, what="who signs it off")
    Garment.objects.select_for_update().get(pk=fitting.garment_id)
    held = (
        Fitting.objects.select_for_update(of=("self",)).select_related("garment__workshop").get(pk=fitting.pk)
    )
    _refuse_closed(held, now)
    works = [
        *_works_by_place(changes, LengthUnit(held.workshop.length_unit)),
        *(_work_in_words(alteration, chosen) for alteration in alterations),
    ]
    held.held_at, held.outcome, held.notes, held.signed_by = now, chosen.value, notes, signed
    held.save(update_fields=["held_at", "outcome", "notes", "signed_by"])
    made = [_task(held, work, now) for work in works]
    _keep(held, works, made, notes, now)
    _log(held, made, by, now)
    measured = measure_again(fitting=held, measures=measures or {}, confirmed=confirmed, by=by, now=now)
    garment = _send_back(held.garment, chosen, by, now)
    if measured is not None and chosen is FittingOutcome.REMEASURE:
        set_measurements(garment=garment, measurements=measured, by=by, now=now)
    ask_for_plan(held.garment.workshop, now)
    return made


def _log(held: Fitting, made: Sequence[Task], by: Staff, now: datetime) -> None:
    write_log(
        workshop=held.workshop,
        by=by,
        action="hold fitting",
        row=held,
        order_id=held.garment.order_id,
        summary=f"Fitting of {held.garment.title}: {FittingOutcome(held.outcome).label}",
        now=now,
        after={"outcome": held.outcome, "tasks": [task.pk for task in made]},
    )


def _outcome(outcome: str, changes: Sequence[Change], alterations: Sequence[Alteration]) -> FittingOutcome:
    if outcome not in FittingOutcome.values:
        raise Refusal(f"Choose how it went: {', '.join(FittingOutcome.labels)}.", field="outcome")
    chosen = FittingOutcome(outcome)
    if chosen is FittingOutcome.RECUT and not alterations:
        raise Refusal("Say which piece is to be cut again, and the minutes it takes.", field="alterations")
    if chosen in GROUP_OF and not (changes or alterations):
        raise Refusal("Say what is to be changed, and by how much.", field="alterations")
    if chosen not in GROUP_OF and (changes or alterations):
        raise Refusal(
            f"There is something to change, so it is not '{chosen.label}'; choose again.", field="outcome"
        )
    return chosen


def _works_by_place(changes: Sequence[Change], unit: LengthUnit) -> list[Work]:
    """Raises: BadFinding."""
    show = partial(_written, unit=Unit(unit))
    found: list[Work] = []
    for number, change in enumerate(changes):
        if any(_is_same(change, known) for known in changes[:number]):
            raise BadFinding("This place is altered that way above already.", number=number, part="place")
        try:
            rules.check_change(change, show=show)
        except rules.BadChange as problem:
            raise BadFinding(str(problem), number=number, part=problem.part) from None
        steps = tuple((step.name, step.minutes) for step in rules.steps(change))
        words = rules.words(change, show(change.amount_mm))
        found.append(Work(words, TaskGroup.ALTER, rules.minutes_of(change), steps, change))
    return found


def _is_same(change: Change, other: Change) -> bool:
    return (change.place, change.way, change.side) == (other.place, other.way, other.side)


def _written(mm: float, *, unit: Unit) -> str:
    return f"{format_length(mm, unit)} {unit}"


def _work_in_words(alteration: Alteration, outcome: FittingOutcome) -> Work:
    what = clean_text(
        alteration.what, field="alterations", longest=120, what="what is to be changed", required=True
    )
    if not 1 <= alteration.minutes <= MOST_MINUTES:
        raise Refusal(f"Give '{what}' from 1 to {MOST_MINUTES} minutes.", field="alterations")
    return Work(what, GROUP_OF[outcome], alteration.minutes, ((what, float(alteration.minutes)),))


def _refuse_closed(fitting: Fitting, now: datetime) -> None:
    if fitting.cancelled_at is not None:
        raise FittingClosed("That fitting was cancelled; book a new one.")
    if fitting.held_at is not None:
        raise FittingClosed("That fitting was held already.")
    zone = fitting.workshop.zone
    if fitting.workshop.day_of(fitting.starts_at) > fitting.workshop.day_of(now):
        raise FittingClosed(
            f"That fitting is on {fitting.starts_at.astimezone(zone):%A %d %B}; move it if it was earlier."
        )


def _task(fitting: Fitting, work: Work, now: datetime) -> Task:
    recut = work.group is TaskGroup.CUT
    return add_task(
        garment=fitting.garment,
        group=work.group,
        title=f"Cut again: {work.words}" if recut else f"Alter: {work.words}",
        minutes=work.minutes,
        steps=[
            {
                "name": name,
                "minutes": minutes,
                "why": f"fitting of {fitting.workshop.day_of(now)}",
                "after_fitting": False,
            }
            for name, minutes in work.steps
        ],
    )


def _keep(fitting: Fitting, works: Sequence[Work], tasks: Sequence[Task], notes: str, now: datetime) -> None:
    """Keep what was found with the fitting, and on the wearer."""
    taught = note_on_wearer(
        fitting=fitting,
        changes=[work.change for work in works if work.change is not None],
        words=[work.words for work in works if work.group is TaskGroup.ALTER],
        notes=notes,
        now=now,
    )
    FittingChange.objects.bulk_create(
        FittingChange(
            fitting=fitting,
            position=position,
            task=task,
            words=work.words,
            **_as_columns(work.change),
            fit_note="" if work.change is None else taught.get(work.change, ""),
        )
        for position, (work, task) in enumerate(zip(works, tasks, strict=True))
    )


def _as_columns(change: Change | None) -> dict[str, str | float | None]:
    if change is None:
        return {}
    return {
        "place": change.place,
        "way": change.way,
        "side": change.side,
        "amount_mm": change.amount_mm,
        "typed": change.typed,
    }


def _send_back(garment: Garment, outcome: FittingOutcome, by: Staff, now: datetime) -> Garment:
    back = BACK_TO.get(outcome)
    while back is not None and _STAGES.index(Stage(garment.stage)) > _STAGES.index(back):
        # Where no move goes all the way, a stage at a time does.
        one_back = _STAGES[_STAGES.index(Stage(garment.stage)) - 1]
        to = back if rule_for(garment.stage, back) else one_back
        garment = move_garment(garment=garment, to=to, by=by, reason=f"Fitting: {outcome.label}", now=now)
    return garment
