"""Garments with their drafts, lay plans, cutting lists and files."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from django.db.models import Count, F, Q, QuerySet

from costing import queries as costing_queries
from costing.models import Cloth, Estimate, StockMove
from drafting.body import Body, size_of
from drafting.layplan import LayPlan as Lay
from drafting.output.contract import read_contract
from drafting.pattern import Draft as Pattern
from workshop.jobs import queries as job_queries
from workshop.jobs.models import Job
from workshop.orders.models import CuttingLine, Draft, Garment, GarmentCloth, LayPlan, OrderDocument, Stage
from workshop.people.models import Workshop
from workshop.people.queries import body_of

FILES_JOB = "pattern_files"
LAYS_JOB = "lay_plans"


def garment_of(workshop: Workshop, pk: int) -> Garment | None:
    """A garment of the workshop with its order, client, wearer and measurements."""
    rows = Garment.objects.select_related("workshop", "order__client", "wearer", "measurements")
    return rows.filter(workshop=workshop, pk=pk).first()


def garments_of(workshop: Workshop, pks: Collection[int]) -> list[Garment]:
    """Those of the keys that are garments of the workshop."""
    return list(Garment.objects.filter(workshop=workshop, pk__in=pks).order_by("pk"))


def body_for(garment: Garment) -> Body | None:
    """The body that a garment is drafted for: measured, or a size that stands in; None where neither is.

    Raises: Refusal where the measurements were erased.
    """
    wearer = garment.wearer
    if garment.measurements is not None:
        return body_of(garment.measurements, wearer)
    return size_of(garment.size).body(fit=wearer.fit) if garment.size else None


def draft_of(workshop: Workshop, pk: int) -> Draft | None:
    rows = Draft.objects.select_related("workshop", "garment__order", "garment__wearer")
    return rows.filter(workshop=workshop, pk=pk).first()


def current_draft(garment: Garment) -> Draft | None:
    """The draft that holds; None where none was made or it was superseded."""
    return garment.drafts.filter(superseded_at=None).first()


def draft_ids(garment_ids: Collection[int]) -> dict[int, int]:
    """Of each garment the key of the draft that holds; nothing of one that has none."""
    rows = Draft.objects.filter(garment__in=garment_ids, superseded_at=None)
    return dict(rows.values_list("garment_id", "pk"))


def pictured_shells(garment_ids: Collection[int]) -> dict[int, Cloth]:
    """Return the shell cloth of each garment, where there is a picture of it, in one query."""
    rows = GarmentCloth.objects.filter(garment__in=garment_ids, role=GarmentCloth.Role.SHELL)
    return {row.garment_id: row.cloth for row in rows.exclude(cloth__swatch="").select_related("cloth")}


def fit_changed(draft: Draft) -> bool:
    """Whether the wearer's fit notes are other than those that the draft was drawn with."""
    return _acting(draft.inputs.get("fit", {})) != _acting(draft.garment.wearer.fit)


def _acting(fit: Mapping[str, float]) -> dict[str, float]:
    """A note of 0 draws nothing differently."""
    return {name: amount for name, amount in fit.items() if amount}


def pattern_of(draft: Draft) -> Pattern:
    """The stored draft as the pattern engine's value."""
    return read_contract(draft.output)


def current_estimate(garment: Garment) -> Estimate | None:
    return costing_queries.current_estimate(garment.pk)


def current_lays(draft: Draft) -> QuerySet[LayPlan]:
    """The lays that hold: shell, lining, interfacing, which is the alphabet backwards."""
    held = draft.lay_plans.filter(superseded_at=None)
    return held.select_related("cloth", "joint").order_by("-role", "pk")


def held_lays(**wanted: Any) -> QuerySet[LayPlan]:
    """The lays that hold, of drafts that hold, which pass a filter; in no order."""
    return LayPlan.objects.filter(superseded_at=None, draft__superseded_at=None, **wanted)


def lay_value(lay: LayPlan) -> Lay:
    """The lay of a plan as the planner's value; of a part the joint lay, which it brings with it."""
    return Lay.read_contract(lay.output if lay.joint is None else lay.joint.output)


def cut_for_draft(garment_ids: Collection[int]) -> dict[int, set[int]]:
    """Of each garment, the cloths that were cut since the draft that holds was made."""
    found: dict[int, set[int]] = {pk: set() for pk in garment_ids}
    rows = StockMove.objects.filter(
        garment__in=garment_ids,
        kind=StockMove.Kind.CUT,
        garment__drafts__superseded_at=None,
        garment__drafts__created_at__lte=F("at"),
    )
    for garment_id, cloth_id in rows.values_list("garment_id", "cloth_id"):
        if cloth_id is not None:
            found[garment_id].add(cloth_id)
    return found


def cut_lengths(garment_id: int) -> dict[int, float]:
    """Return what was cut for a garment, less what went back to the shelf, mm by cloth."""
    return cut_lengths_of([garment_id]).get(garment_id, {})


def cut_lengths_of(garment_ids: Collection[int]) -> dict[int, dict[int, float]]:
    """``cut_lengths`` of each garment for which anything was cut, in one query."""
    signs = {StockMove.Kind.CUT: 1, StockMove.Kind.RETURNED: -1}
    rows = StockMove.objects.filter(garment__in=garment_ids, cloth__isnull=False, kind__in=signs)
    found: dict[int, dict[int, float]] = {}
    for garment_id, cloth_id, kind, amount in rows.values_list("garment_id", "cloth_id", "kind", "amount"):
        lengths = found.setdefault(garment_id, {})
        lengths[cloth_id] = round(lengths.get(cloth_id, 0.0) + signs[StockMove.Kind(kind)] * amount, 3)
    return found


def needed_roles(pattern: Pattern) -> list[str]:
    """The cloths that the pieces are cut from, in the order of the cutting list."""
    found = {cut.cloth for piece in pattern.pieces for cut in piece.cuts}
    return [role for role in ("shell", "lining", "interfacing") if role in found]


def cutting_lines(draft: Draft) -> QuerySet[CuttingLine]:
    return draft.cutting_lines.select_related("cut_by").order_by("position")


def line_of(workshop: Workshop, pk: int) -> CuttingLine | None:
    rows = CuttingLine.objects.select_related("draft__garment__order", "draft__workshop")
    return rows.filter(draft__workshop=workshop, pk=pk).first()


def files_of(draft: Draft) -> QuerySet[OrderDocument]:
    """The pattern files of a draft that were made."""
    kinds = [kind for kind in OrderDocument.Kind.values if kind.startswith("pattern")]
    return draft.documents.filter(kind__in=kinds).select_related("document").order_by("pk")


def files_job(draft: Draft) -> Job | None:
    return job_queries.latest(draft.workshop, FILES_JOB, f"draft-{draft.pk}")


def lays_job(draft: Draft) -> Job | None:
    return job_queries.latest(draft.workshop, LAYS_JOB, f"draft-{draft.pk}")


def to_cut(workshop: Workshop) -> Any:
    """Garments to cut, due first, with ``lines`` and ``lines_done`` of their cutting lists annotated."""
    lines = Q(drafts__superseded_at=None)
    return (
        Garment.objects.filter(workshop=workshop, stage=Stage.CUT, order__cancelled_at=None)
        .select_related("order", "wearer")
        .annotate(
            lines=Count("drafts__cutting_lines", filter=lines),
            lines_done=Count(
                "drafts__cutting_lines", filter=lines & Q(drafts__cutting_lines__cut_at__isnull=False)
            ),
        )
        .order_by("order__due_on", "pk")
    )
