"""A fitting that was held: what came of it, and what is to be done about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from workshop.errors import Refusal
from workshop.orders.models import Garment, Stage
from workshop.orders.rules.stages import rule_for
from workshop.orders.services import move_garment
from workshop.people.models import Staff, Wearer
from workshop.people.services.checking import clean_text, require_same_workshop
from workshop.people.services.log import write_log
from workshop.planning.models import Fitting, FittingOutcome, Task, TaskGroup
from workshop.planning.services.fittings import FittingClosed, ask_for_plan
from workshop.planning.services.garment_tasks import add_task

BACK_TO = {
    FittingOutcome.ALTERATION: Stage.SEW,
    FittingOutcome.RECUT: Stage.CUT,
    FittingOutcome.REMEASURE: Stage.MEASURE,
}
GROUP_OF = {FittingOutcome.ALTERATION: TaskGroup.ALTER, FittingOutcome.RECUT: TaskGroup.CUT}
MOST_MINUTES = 6000
_STAGES = list(Stage)


@dataclass(frozen=True, slots=True)
class Alteration:
    """One thing to change, in words (side seam in by 1/2 in), and the standard minutes that it takes."""

    what: str
    minutes: int


@transaction.atomic
def hold_fitting(
    *,
    fitting: Fitting,
    outcome: str,
    by: Staff,
    now: datetime,
    notes: str = "",
    alterations: Sequence[Alteration] = (),
) -> list[Task]:
    """Note how a fitting went. Returns the tasks that it made.

    An alteration sends the garment back to be sewn, a recut to be cut, a changed body to be measured; where
    it is not that far yet it stays. The notes are kept with the fitting and on the wearer.

    Raises:
        FittingClosed: it was cancelled or held already, or lies in the future.
        Refusal: with ``field``: an unknown outcome; nothing said of what to change; minutes that cannot be.
    """
    require_same_workshop(fitting.workshop, by)
    chosen = _outcome(outcome, alterations)
    notes = clean_text(notes, field="notes", longest=2000, what="the notes")
    wanted = [_checked(alteration) for alteration in alterations]
    Garment.objects.select_for_update().get(pk=fitting.garment_id)
    held = (
        Fitting.objects.select_for_update().select_related("garment", "garment__workshop").get(pk=fitting.pk)
    )
    _refuse_closed(held, now)
    held.held_at, held.outcome, held.notes = now, chosen.value, notes
    held.save(update_fields=["held_at", "outcome", "notes"])
    _note_on_wearer(held, notes, now)
    made = [_task(held, chosen, alteration, now) for alteration in wanted]
    write_log(
        workshop=held.workshop,
        by=by,
        action="hold fitting",
        row=held,
        order_id=held.garment.order_id,
        summary=f"Fitting of {held.garment.title}: {chosen.label}",
        now=now,
        after={"outcome": chosen.value, "tasks": [task.pk for task in made]},
    )
    _send_back(held.garment, chosen, by, now)
    ask_for_plan(held.garment, now)
    return made


def _outcome(outcome: str, alterations: Sequence[Alteration]) -> FittingOutcome:
    if outcome not in FittingOutcome.values:
        raise Refusal(f"Choose how it went: {', '.join(FittingOutcome.labels)}.", field="outcome")
    chosen = FittingOutcome(outcome)
    if chosen in GROUP_OF and not alterations:
        raise Refusal("Say what is to be changed, and the minutes it takes.", field="alterations")
    if chosen not in GROUP_OF and alterations:
        raise Refusal(
            f"There is something to change, so it is not '{chosen.label}'; choose again.", field="outcome"
        )
    return chosen


def _checked(alteration: Alteration) -> Alteration:
    what = clean_text(
        alteration.what, field="alterations", longest=120, what="what is to be changed", required=True
    )
    if not 1 <= alteration.minutes <= MOST_MINUTES:
        raise Refusal(f"Give '{what}' from 1 to {MOST_MINUTES} minutes.", field="alterations")
    return Alteration(what, alteration.minutes)


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


def _note_on_wearer(fitting: Fitting, notes: str, now: datetime) -> None:
    if notes:
        wearer = Wearer.objects.select_for_update().get(pk=fitting.garment.wearer_id)
        line = f"{fitting.workshop.day_of(now)}, {fitting.garment.title}: {notes}"
        wearer.fit_notes = f"{wearer.fit_notes}\n{line}".strip()
        wearer.version += 1  # an owner who has the wearer's page open must not write over it
        wearer.save(update_fields=["fit_notes", "version"])


def _task(fitting: Fitting, outcome: FittingOutcome, alteration: Alteration, now: datetime) -> Task:
    recut = outcome is FittingOutcome.RECUT
    return add_task(
        garment=fitting.garment,
        group=GROUP_OF[outcome],
        title=f"Cut again: {alteration.what}" if recut else f"Alter: {alteration.what}",
        minutes=alteration.minutes,
        steps=[
            {
                "name": alteration.what,
                "minutes": alteration.minutes,
                "why": f"fitting of {fitting.workshop.day_of(now)}",
                "after_fitting": False,
            }
        ],
    )


def _send_back(garment: Garment, outcome: FittingOutcome, by: Staff, now: datetime) -> None:
    back = BACK_TO.get(outcome)
    while back is not None and _STAGES.index(Stage(garment.stage)) > _STAGES.index(back):
        # Where no move goes all the way, a stage at a time does.
        one_back = _STAGES[_STAGES.index(Stage(garment.stage)) - 1]
        to = back if rule_for(garment.stage, back) else one_back
        garment = move_garment(garment=garment, to=to, by=by, reason=f"Fitting: {outcome.label}", now=now)
