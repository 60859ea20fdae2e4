"""Keeping an estimate: the newest one of a garment holds."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db import transaction

from costing.models import Estimate
from costing.rules.estimate import RULES
from costing.rules.estimate import Estimate as Reckoned
from costing.rules.labour import Operation


@transaction.atomic
def store_estimate(
    *,
    workshop: Any,
    garment: Any,
    reckoned: Reckoned,
    operations: tuple[Operation, ...],
    inputs: dict[str, Any],
    provisional: bool,
    now: datetime,
) -> Estimate:
    """Store an estimate; the one that held before is kept as superseded."""
    supersede_estimate(garment_id=garment.pk, now=now)
    return Estimate.objects.create(
        workshop=workshop,
        garment=garment,
        rule_version=RULES,
        inputs=inputs,
        content=_content(reckoned, operations, provisional),
        minutes=reckoned.minutes,
        net=reckoned.net,
        created_at=now,
    )


def supersede_estimate(*, garment_id: int, now: datetime) -> int:
    """Mark the estimate that holds as superseded. Returns how many did (0 or 1)."""
    return Estimate.objects.filter(garment_id=garment_id, superseded_at=None).update(superseded_at=now)


def _content(reckoned: Reckoned, operations: tuple[Operation, ...], provisional: bool) -> dict[str, Any]:
    return {
        "currency": reckoned.currency,
        "provisional": provisional,
        "lines": [
            {
                "kind": str(line.kind),
                "what": line.what,
                "quantity": str(line.quantity),
                "unit": line.unit,
                "unit_price": str(line.unit_price),
                "amount": str(line.amount),
                "why": line.why,
                **({"ref": line.ref} if line.ref else {}),
            }
            for line in reckoned.lines
        ],
        "cost": str(reckoned.cost),
        "net": str(reckoned.net),
        "tax": str(reckoned.tax),
        "total": str(reckoned.total),
        "deposit": str(reckoned.deposit),
        "profit": str(reckoned.profit),
        "margin": None if reckoned.margin is None else str(reckoned.margin),
        "markup": None if reckoned.markup is None else str(reckoned.markup),
        "cautions": list(reckoned.cautions),
        "operations": [
            {
                "name": operation.name,
                "group": str(operation.group),
                "minutes": round(operation.minutes, 3),
                "kind": operation.kind,
                "why": operation.why,
            }
            for operation in operations
        ],
    }
