"""The operation list of a garment: one list that is priced, planned and sewn by."""

from __future__ import annotations

from django.db.models import QuerySet

from costing import queries as costing_queries
from costing.models import Rates
from costing.rules.labour import Operation
from costing.rules.learning import at_learnt_minutes
from costing.rules.operation_list import operations
from costing.rules.revising import Revised, Revision, revised
from costing.rules.worktimes import STANDARD_WORK, Work
from drafting.pattern import Draft as Pattern
from workshop.orders.models import Garment, OperationsRevision


def operations_of(garment: Garment, pattern: Pattern) -> Revised:
    """Return the operations of a garment made from a pattern, with the owner's revision, in two queries.

    Standard minutes; whoever plans or prices divides by a pace. Raises: BadAmount.
    """
    return revised(reckoned_operations(garment, pattern), held_revision(garment))


def priced_operations(garment: Garment, pattern: Pattern, rates: Rates) -> Revised:
    """Return the operations that a price is reckoned from.

    Where the owner lets prices rest on learnt minutes, each is as timed work corrects it, but for those whose
    minutes she set herself.
    """
    if not rates.prices_on_learnt:
        return operations_of(garment, pattern)
    learnt = costing_queries.learnt_corrections(garment.workshop)
    return revised(at_learnt_minutes(reckoned_operations(garment, pattern), learnt), held_revision(garment))


def reckoned_operations(garment: Garment, pattern: Pattern) -> tuple[Operation, ...]:
    """The list as the rules give it, with the workshop's allowance on work."""
    return operations(pattern, work=work_of(costing_queries.rates_of(garment.workshop)))


def work_of(rates: Rates | None) -> Work:
    """Standard times with the workshop's own allowance, where it has said one."""
    return STANDARD_WORK if rates is None else Work(allowance=float(rates.work_allowance) / 100)


def held_revision(garment: Garment) -> Revision:
    """The owner's revision that holds; one that changes nothing where she made none."""
    newest = revisions_of(garment).first()
    return Revision() if newest is None else Revision.read(newest.content)


def revisions_of(garment: Garment) -> QuerySet[OperationsRevision]:
    """Every version, the newest first."""
    return OperationsRevision.objects.filter(garment=garment).select_related("by").order_by("-version")
