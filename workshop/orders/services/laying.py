"""Lay plans of a draft, one a cloth, each in the shortest of the ways that the cloth allows."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.db import transaction

from costing.models import Cloth as ClothRow
from drafting.errors import BadCloth
from drafting.layplan import (
    Cloth,
    DoesNotFit,
    LayItem,
    LayPlan,
    TooWide,
    buy_length,
    items_for,
    items_together,
    plan_lay,
)
from drafting.layplan.ways import ways_of
from drafting.pattern import Draft as Pattern
from drafting.units import Unit, format_length
from workshop.errors import Refusal
from workshop.orders import models
from workshop.orders.models import Draft, Garment, GarmentCloth
from workshop.orders.queries.garments import pattern_of
from workshop.orders.rules.buying import as_sold
from workshop.orders.rules.takes import Take, takes_of
from workshop.orders.rules.ways import SHORTEST, WAYS, Tried, shortest
from workshop.orders.services.asking import ask_for_plan
from workshop.orders.services.choosing_lengths import ChosenLengths, LengthGone, chosen_lengths
from workshop.orders.services.estimating import estimate_anew
from workshop.orders.services.shelf import release_for
from workshop.orders.services.stocking import reserve_for
from workshop.orders.services.unjoining import dissolve_joint_lays
from workshop.people.models import Staff
from workshop.people.services import write_log
from workshop.people.services.checking import require_same_workshop

SECONDS_A_LAY = 6.0
MOST_SECONDS = 120.0
TRIAL_SHARE = 1 / 2
"""Of the seconds of a lay, for each way that is tried before the shortest is searched for in earnest. In 3 s
every packer has found what it finds at once; in 2 s the one that finds most has hardly begun."""
LEAST_TRIAL = 0.2

NOT_AS_CHOSEN = "Not laid on the lengths that were chosen:"

Progress = Callable[[float, str], None]


class NoCloth(Refusal):
    """No cloth is chosen for the shell: there is nothing to lay on."""


class CannotLay(Refusal):
    """The pieces do not go on the cloth in any way that is allowed; says by how much and what would do."""


@dataclass(frozen=True, slots=True)
class Laying:
    """What is to be laid on which cloth: one pattern, or several together.

    ``way``: as the owner fixed it. ``lengths``: those that it must be laid on; none where the cloth comes
    from one length, whichever that will be.
    """

    patterns: Sequence[Pattern]
    role: str
    cloth: ClothRow
    way: str = SHORTEST
    lengths: ChosenLengths | None = None

    def items(self, cloth: Cloth) -> list[LayItem]:
        if len(self.patterns) == 1:
            return items_for(self.patterns[0], self.role, cloth)
        return items_together(self.patterns, self.role, cloth)


@dataclass(frozen=True, slots=True)
class Laid:
    """A cloth as it was laid: the plan, its way, and what each way that was tried came to.

    ``takes``: of each length that it was laid on. ``remark``: why it was not laid as the owner chose.
    """

    plan: LayPlan
    way: str
    tried: tuple[Tried, ...]
    takes: tuple[Take, ...] = ()
    remark: str = ""

    @property
    def cut_mm(self) -> float:
        """What the lay takes of the cloth, before shrinking."""
        whole = self.plan.cloth_length / (1 - self.plan.cloth.shrinkage_length)
        return sum(take.cut_mm for take in self.takes) or whole

    @property
    def need_mm(self) -> float:
        """What must be there: the lay and its ends, before shrinking; of several lengths the sum."""
        whole = buy_length(self.plan.cloth_length, self.plan.cloth, increment_mm=1.0)
        return sum(take.need_mm for take in self.takes) or whole


@dataclass(frozen=True, slots=True)
class Share:
    """One lay's part of a job's progress, in percent, and whether the job was cancelled."""

    progress: Progress
    cancelled: Callable[[], bool]
    start: float
    width: float

    def begin(self, words: str) -> None:
        self.progress(self.start, words)

    def reached(self, part: float) -> None:
        self.progress(self.start + part * self.width, "")

    def part(self, number: int, of: int) -> Share:
        """The share of one of several runs that are as long."""
        width = self.width / of
        return replace(self, start=self.start + number * width, width=width)


def cloth_value(row: ClothRow, role: str, lengths: ChosenLengths | None = None) -> Cloth:
    """The cloth of the price list as the lay planner knows it, open, on the lengths that were chosen."""
    return Cloth(
        stretches=lengths.stretches if lengths else (),
        roll=lengths is None or lengths.roll,
        name=role,
        width=row.width_mm,
        selvedge=row.selvedge_mm,
        one_way=row.one_way,
        shrinkage_length=row.shrinkage_length,
        shrinkage_width=row.shrinkage_width,
        repeat_length=row.repeat_length_mm,
        repeat_width=row.repeat_width_mm,
    )


def make_lay_plans(
    *,
    draft: Draft,
    now: datetime,
    progress: Progress = lambda percent, words: None,
    cancelled: Callable[[], bool] = lambda: False,
    seconds: float = SECONDS_A_LAY,
) -> list[models.LayPlan]:
    """Lay the pieces of a draft on each cloth that is chosen, and keep the plans.

    Laying takes seconds, so nothing is locked meanwhile; the plans are stored together at the end.

    Raises:
        NoCloth: the shell has no cloth.
        CannotLay: a piece does not go on a cloth; says by how much.
        Refusal: the draft was superseded meanwhile.
    """
    pattern = pattern_of(draft)
    chosen = [
        row for row in draft.garment.cloths.select_related("cloth").order_by("pk") if row.role in draft.roles
    ]
    if not any(row.role == GarmentCloth.Role.SHELL for row in chosen):
        raise NoCloth("Choose the shell cloth of the garment; then it can be laid.")
    plans = []
    for number, row in enumerate(chosen):
        share = Share(progress, cancelled, start=number * 90 / len(chosen), width=90 / len(chosen))
        share.begin(f"Laying the {row.role} on {row.cloth.name}")
        wanted = Laying([pattern], row.role, row.cloth, row.way)
        plans.append((row, _lay_as_chosen(wanted, row, Unit(draft.workshop.length_unit), seconds, share)))
    progress(90, "Keeping the lay plans")  # a job that was cancelled while it laid ends here, nothing kept
    return _store(draft, plans, now)


def _lay_as_chosen(wanted: Laying, row: GarmentCloth, unit: Unit, seconds: float, share: Share) -> Laid:
    """Lay on the lengths that the owner chose; on any one, saying why, where they do not serve any more."""
    if not row.lengths:
        return lay_cloth(wanted, unit, seconds, share)
    try:
        chosen = chosen_lengths(row, row.lengths, unit)
        return lay_cloth(replace(wanted, lengths=chosen), unit, seconds, share)
    except (LengthGone, CannotLay) as refusal:
        return replace(lay_cloth(wanted, unit, seconds, share), remark=f"{NOT_AS_CHOSEN} {refusal}")


def lay_cloth(wanted: Laying, unit: Unit, seconds: float, share: Share) -> Laid:
    """Lay patterns on a cloth: in the way that is fixed, else in the shortest of those that it allows.

    Each way is tried for a part of the seconds, so that the page can say what a fixed one costs; the one that
    is taken is then searched for with all of them.

    Raises: CannotLay, lengths in the workshop's unit.
    """
    cloths = cloths_by_way(wanted)
    if wanted.way != SHORTEST and wanted.way not in cloths:
        raise CannotLay(
            f"{wanted.cloth.name} cannot be laid {WAYS.get(wanted.way, wanted.way)} here; choose another way."
        )
    runs = 1 if len(cloths) == 1 else len(cloths) + 1
    trials = _trials(wanted, cloths, unit, seconds, share) if runs > 1 else {}
    tried = {name: row for name, (row, _) in trials.items()}
    best = shortest(tried.values())
    name = wanted.way or (best.way if best else next(iter(cloths)))
    known = trials[name][1] if name in trials else None
    try:
        plan = plan_on(wanted, cloths[name], seconds, share.part(runs - 1, runs), start=known)
    except BadCloth as fault:
        raise CannotLay(worded(fault, unit), field="width") from None
    tried.pop(name, None)
    takes = takes_of(plan, wanted.lengths.keys) if wanted.lengths else ()
    return Laid(plan, name, (_tried(wanted, name, plan), *tried.values()), takes)


def _trials(
    wanted: Laying, cloths: Mapping[str, Cloth], unit: Unit, seconds: float, share: Share
) -> dict[str, tuple[Tried, LayPlan | None]]:
    """Each way laid for a short while: what it came to, and its lay where there is one."""
    found: dict[str, tuple[Tried, LayPlan | None]] = {}
    for number, (name, cloth) in enumerate(cloths.items()):
        trial = max(seconds * TRIAL_SHARE, LEAST_TRIAL)
        try:
            plan = plan_on(wanted, cloth, trial, share.part(number, len(cloths) + 1))
            found[name] = _tried(wanted, name, plan), plan
        except BadCloth as fault:
            found[name] = Tried(name, refused=worded(fault, unit)), None
    return found


def cloths_by_way(wanted: Laying) -> dict[str, Cloth]:
    """The cloth as it lies in each way in which all pieces go on it.

    Where there is none, and where the way that is fixed is not among them, the plain cloth of that way:
    laying on it says what is too wide and what would do.
    """
    cloth = cloth_value(wanted.cloth, wanted.role, wanted.lengths)
    found = {str(way): laid for way, laid in ways_of(wanted.patterns, wanted.role, cloth).items()}
    plain = {"open": cloth, "folded": replace(cloth, folded=True)}
    if wanted.way in plain:
        found.setdefault(wanted.way, plain[wanted.way])
    return found or {"open": cloth}


def plan_on(
    wanted: Laying, cloth: Cloth, seconds: float, share: Share, *, start: LayPlan | None = None
) -> LayPlan:
    """Lay on a cloth as it lies, never longer than the plan that is known. Raises: BadCloth."""
    return plan_lay(
        wanted.items(cloth),
        cloth,
        seconds=seconds,
        on_progress=lambda part, length: share.reached(part),
        cancelled=share.cancelled,
        increment_mm=wanted.cloth.sold_by_mm,
        start=start,
    )


def _tried(wanted: Laying, way: str, plan: LayPlan) -> Tried:
    takes = takes_of(plan, wanted.lengths.keys) if wanted.lengths else ()
    return Tried(way, plan.cloth_length, priced_mm(plan, takes, wanted.cloth.sold_by_mm))


def priced_mm(plan: LayPlan, takes: Sequence[Take], step: float) -> float:
    """What a lay has one buy; on lengths from the shelf what one would have bought for them, all in all."""
    return as_sold(sum(take.need_mm for take in takes), step) if takes else plan.buy_length


def worded(fault: BadCloth, unit: Unit) -> str:
    """A refusal of the lay planner with its lengths in the workshop's unit."""
    if isinstance(fault, TooWide | DoesNotFit):
        return fault.worded(lambda mm: f"{format_length(mm, unit)} {unit}")
    return str(fault)


@transaction.atomic
def _store(draft: Draft, plans: list[tuple[GarmentCloth, Laid]], now: datetime) -> list[models.LayPlan]:
    held = Draft.objects.select_for_update().get(pk=draft.pk)
    if held.superseded_at is not None:
        raise Refusal("The draft was superseded while it was laid; lay the one that holds now.")
    dissolve_joint_lays(garment_id=draft.garment_id, reason=f"{draft.garment.title} was laid anew", now=now)
    models.LayPlan.objects.filter(draft=draft, superseded_at=None).update(superseded_at=now)
    return [keep_lay(draft, row, laid, now) for row, laid in plans]


def keep_lay(draft: Draft, row: GarmentCloth, laid: Laid, now: datetime) -> models.LayPlan:
    """Store the lay of one of a draft's cloths; the caller has superseded the one before."""
    return models.LayPlan.objects.create(
        workshop_id=draft.workshop_id,
        draft=draft,
        role=row.role,
        cloth=row.cloth,
        inputs=inputs_of(row.cloth, laid, fixed=row.way),
        output=laid.plan.to_contract(),
        length_mm=laid.plan.length,
        buy_length_mm=priced_mm(laid.plan, laid.takes, row.cloth.sold_by_mm),
        need_mm=laid.need_mm,
        cut_mm=laid.cut_mm,
        takes=[take.to_json() for take in laid.takes],
        utilisation=laid.plan.utilisation,
        created_at=now,
    )


def inputs_of(cloth: ClothRow, laid: Laid, *, fixed: str) -> dict[str, object]:
    """What is kept of how a lay came about."""
    return {
        "cloth": cloth.pk,
        "way": laid.way,
        "fixed": fixed,
        "tried": [row.to_json() for row in laid.tried],
        "seconds": laid.plan.seconds,
        "remark": laid.remark,
    }


@transaction.atomic
def fix_way(*, garment: Garment, role: str, way: str, by: Staff | None, now: datetime) -> GarmentCloth:
    """Say in which way a cloth of a garment must lie; "" lets the shortest be taken again.

    The draft stays; its lays are asked for anew by the caller. Raises: Refusal.
    """
    require_same_workshop(garment.workshop, by)
    if way != SHORTEST and way not in WAYS:
        raise Refusal(f"There is no such way; choose one of: {', '.join(WAYS)}.", field="way")
    row = GarmentCloth.objects.select_for_update().filter(garment=garment, role=role).first()
    if row is None:
        raise Refusal(f"No {role} is chosen for {garment.title}.", field="role")
    row.way = way
    row.save(update_fields=["way"])
    write_log(
        workshop=garment.workshop,
        by=by,
        action="fix way",
        row=garment,
        order_id=garment.order_id,
        summary=f"The {role} of {garment.title} is laid {WAYS.get(way, 'in the shortest way')}",
        now=now,
        after={"role": role, "way": way},
    )
    return row


def lay_and_estimate(
    *,
    draft: Draft,
    now: datetime,
    progress: Progress,
    cancelled: Callable[[], bool],
    seconds: float = SECONDS_A_LAY,
) -> list[models.LayPlan]:
    """Lay a draft, reckon its estimate, and set cloth aside where the quote is accepted already."""
    plans = make_lay_plans(draft=draft, now=now, progress=progress, cancelled=cancelled, seconds=seconds)
    progress(92, "Reckoning the price")
    with transaction.atomic():
        # What was set aside was for the lay before: it may lie on other lengths.
        release_for([draft.garment_id], now)
        reckon_and_reserve([draft.garment], now)
    return plans


def reckon_and_reserve(garments: Sequence[Garment], now: datetime) -> None:
    """What follows from new lays: the estimates, and cloth set aside where the quote is accepted.

    Inside the caller's transaction.
    """
    estimate_anew(garments, now)
    reserve_for(garments=garments, now=now)
    ask_for_plan(garments[0].workshop)
