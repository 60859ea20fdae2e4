"""Several garments of one cloth laid together, as for a wedding party."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from django.db import transaction

from costing.models import Cloth
from drafting.layplan import verify
from drafting.units import Unit, format_length
from workshop import jobs
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders.models import Draft, Garment, GarmentCloth, JointLay, LayPlan
from workshop.orders.queries.garments import lay_value, pattern_of
from workshop.orders.queries.joint_lays import JOINT_JOB, single_lays
from workshop.orders.queries.orders import agreed_orders
from workshop.orders.rules.end_to_end import end_to_end
from workshop.orders.rules.lettering import lettered
from workshop.orders.rules.sharing import shares
from workshop.orders.rules.ways import SHORTEST
from workshop.orders.services.laying import (
    MOST_SECONDS,
    SECONDS_A_LAY,
    Laid,
    Laying,
    Progress,
    Share,
    inputs_of,
    lay_cloth,
    reckon_and_reserve,
)
from workshop.orders.services.shelf import release_for
from workshop.orders.services.unjoining import dissolve, dissolve_joint_lays
from workshop.people.models import Staff, Workshop
from workshop.people.services import write_log
from workshop.people.services.checking import require_owner, require_same_workshop

MOST_TOGETHER = 20


class CannotJoin(Refusal):
    """These garments cannot be laid together, or nothing is saved by it; says why."""


def request_joint_lay(
    *,
    workshop: Workshop,
    cloth: Cloth,
    garments: Sequence[Garment],
    by: Staff | None,
    now: datetime,
    seconds: float = SECONDS_A_LAY,
) -> Job:
    """Ask for a joint lay of garments on a cloth; the same wish twice is one job.

    Raises: CannotJoin; Refusal for seconds that nobody would wait.
    """
    require_owner(by, "lay garments together")
    require_same_workshop(workshop, cloth, by, *garments)
    if not 0 < seconds <= MOST_SECONDS:
        raise Refusal(f"A lay is searched for at most {MOST_SECONDS:g} seconds.", field="seconds")
    drafts = [lay.draft_id for lay in _checked(cloth, [garment.pk for garment in garments])]
    return jobs.request(
        kind=JOINT_JOB,
        key=f"cloth-{cloth.pk}-drafts-{'-'.join(map(str, drafts))}",
        workshop=workshop,
        params={"cloth": cloth.pk, "drafts": drafts, "seconds": seconds},
        now=now,
    )


def make_joint_lay(
    *,
    cloth: Cloth,
    drafts: Sequence[Draft],
    now: datetime,
    progress: Progress = lambda percent, words: None,
    cancelled: Callable[[], bool] = lambda: False,
    seconds: float = SECONDS_A_LAY,
) -> JointLay:
    """Lay the drafts together on a cloth and keep that where it saves cloth; stock and estimates follow it.

    Nothing is locked while it lays. Raises: CannotJoin, CannotLay.
    """
    singles = _checked(cloth, [draft.garment_id for draft in drafts])
    if [lay.draft_id for lay in singles] != sorted(draft.pk for draft in drafts):
        raise CannotJoin("One of the garments was drafted anew meanwhile; choose them again.")
    progress(0, f"Laying {len(singles)} garments on {cloth.name}")
    patterns = [pattern_of(lay.draft) for lay in singles]
    wanted = Laying(patterns, singles[0].role, cloth, _way_of(singles))
    unit = Unit(cloth.workshop.length_unit)
    laid = lay_cloth(wanted, unit, seconds, Share(progress, cancelled, 0.0, 90.0))
    progress(90, "Keeping the lay plan")
    return _keep(cloth, singles, _or_end_to_end(wanted, laid, singles), unit, now)


def _or_end_to_end(wanted: Laying, laid: Laid, singles: Sequence[LayPlan]) -> Laid:
    """The lay that was found, or the garments' own one behind the other where those are shorter."""
    plans = [lay_value(lay) for lay in singles]
    row = end_to_end(plans, wanted.cloth.sold_by_mm)
    fixed = {lay.inputs.get("way") for lay in singles}
    way = fixed.pop() if len(fixed) == 1 else None
    if row is None or wanted.way not in {SHORTEST, way} or row.length >= laid.plan.length:
        return laid
    if verify(row, wanted.items(row.cloth)):
        return laid
    return Laid(row, str(way), laid.tried)


def _way_of(singles: Sequence[LayPlan]) -> str:
    """The way that the owner fixed for all of them; where she fixed several, whichever is shortest."""
    ways = {
        row.way
        for lay in singles
        for row in GarmentCloth.objects.filter(garment=lay.draft.garment_id, role=lay.role)
    }
    return ways.pop() if len(ways) == 1 else SHORTEST


def _checked(cloth: Cloth, garment_ids: Sequence[int]) -> list[LayPlan]:
    """The garments' own lays on the cloth, by draft. Raises: CannotJoin."""
    wanted = set(garment_ids)
    if len(wanted) < 2:
        raise CannotJoin("Choose two garments or more; one alone is laid on its own page.")
    if len(wanted) > MOST_TOGETHER:
        raise CannotJoin(f"At most {MOST_TOGETHER} garments are laid together.")
    singles = [lay for lay in single_lays(cloth) if lay.draft.garment_id in wanted]
    found = {lay.draft.garment_id for lay in singles}
    lacking = Garment.objects.filter(pk__in=wanted - found).order_by("pk").first()
    if lacking is not None:
        raise CannotJoin(
            f"{lacking.title} cannot be laid with others on {cloth.name}: it must be measured, drafted and "
            "laid on it, and not cut yet."
        )
    _refuse_not_agreed(singles)
    return sorted(singles, key=lambda lay: lay.draft_id)


def _refuse_not_agreed(singles: Sequence[LayPlan]) -> None:
    """Over several orders all must be agreed: cloth for one that may fall through is not bought."""
    orders = {lay.draft.garment.order_id: lay.draft.garment.order for lay in singles}
    if len(orders) == 1:
        return
    agreed = agreed_orders(orders)
    open_ = [order.number for pk, order in sorted(orders.items()) if pk not in agreed]
    if open_:
        raise CannotJoin(
            f"The quote of order {open_[0]} is not accepted: garments of several orders are laid together "
            "once all are agreed."
        )


@transaction.atomic
def _keep(cloth: Cloth, singles: Sequence[LayPlan], laid: Laid, unit: Unit, now: datetime) -> JointLay:
    list(Draft.objects.select_for_update().filter(pk__in=[lay.draft_id for lay in singles]).order_by("pk"))
    garment_ids = [lay.draft.garment_id for lay in singles]
    for garment_id in garment_ids:
        dissolve_joint_lays(garment_id=garment_id, reason="laid together anew", now=now)
    held = {lay.pk: lay for lay in _checked(cloth, garment_ids)}
    if set(held) != {lay.pk for lay in singles}:
        raise CannotJoin("One of the garments was laid anew meanwhile; choose them again.")
    single_mm = sum(lay.buy_length_mm for lay in singles)
    if laid.plan.buy_length >= single_mm:
        raise CannotJoin(
            f"Together they take {_length(laid.plan.buy_length, unit)}, each by itself "
            f"{_length(single_mm, unit)}: nothing is saved, so each stays laid by itself."
        )
    joint = JointLay.objects.create(
        workshop_id=cloth.workshop_id,
        role=singles[0].role,
        cloth=cloth,
        output=lettered(laid.plan).to_contract(),
        length_mm=laid.plan.length,
        buy_length_mm=laid.plan.buy_length,
        single_mm=single_mm,
        utilisation=laid.plan.utilisation,
        created_at=now,
    )
    _put_parts(joint, singles, laid, now)
    release_for(garment_ids, now, cloth_id=cloth.pk)
    garments = Garment.objects.filter(pk__in=garment_ids).select_related("workshop").order_by("pk")
    reckon_and_reserve(list(garments), now)
    return joint


def _length(mm: float, unit: Unit) -> str:
    selling = Unit.YD if unit is Unit.IN else Unit.M
    return f"{format_length(mm, selling)} {selling}"


def _put_parts(joint: JointLay, singles: Sequence[LayPlan], laid: Laid, now: datetime) -> None:
    """Each garment's share, as its own lay is to the others' own."""
    weights = [lay.need_mm for lay in singles]
    sums = {
        "length_mm": laid.plan.length,
        "buy_length_mm": laid.plan.buy_length,
        "need_mm": laid.need_mm,
        "cut_mm": laid.cut_mm,
    }
    parted = {name: shares(total, weights) for name, total in sums.items()}
    LayPlan.objects.filter(pk__in=[lay.pk for lay in singles]).update(superseded_at=now)
    for number, single in enumerate(singles, start=1):
        LayPlan.objects.create(
            workshop_id=joint.workshop_id,
            draft=single.draft,
            role=single.role,
            cloth=joint.cloth,
            inputs=inputs_of(joint.cloth, laid, fixed=""),
            output={},
            utilisation=laid.plan.utilisation,
            joint=joint,
            joint_number=number,
            single=single,
            created_at=now,
            **{name: values[number - 1] for name, values in parted.items()},
        )


@transaction.atomic
def lay_apart(*, joint: JointLay, by: Staff | None, now: datetime) -> JointLay:
    """Let each garment of a joint lay have its own lay again.

    Raises: Refusal where it was dissolved before.
    """
    require_owner(by, "lay garments apart")
    require_same_workshop(joint.workshop, by)
    joint = (
        JointLay.objects.select_for_update(of=("self",)).select_related("workshop", "cloth").get(pk=joint.pk)
    )
    if joint.dissolved_at is not None:
        raise Refusal("These garments are laid by themselves already.")
    dissolve(joint, reason="laid apart", now=now)
    write_log(
        workshop=joint.workshop,
        by=by,
        action="lay apart",
        row=joint,
        summary=f"Garments on {joint.cloth.name} are laid each by itself again",
        now=now,
    )
    return joint
