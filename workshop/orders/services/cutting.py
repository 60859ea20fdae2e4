"""What was really cut of a cloth for a garment."""

from __future__ import annotations

from datetime import datetime
from math import isfinite

from django.db import transaction

from costing import services as costing_services
from costing.models import Cloth, StockMove
from costing.rules.lengths import SLACK_MM
from workshop.errors import Refusal
from workshop.orders.models import Garment
from workshop.orders.queries.garments import cut_lengths, held_lays
from workshop.orders.services.shelf import lock_cloths
from workshop.people.models import Staff
from workshop.people.services import write_log
from workshop.people.services.checking import require_owner, require_same_workshop

LONGEST_MM = 1_000_000.0


@transaction.atomic
def note_cut_length(
    *, garment: Garment, cloth: Cloth, length_mm: float, by: Staff | None, now: datetime
) -> float:
    """Set the length that was cut of a cloth for a garment; the stock follows. Returns the difference, mm.

    Later estimates learn from it what the cloth really takes (``costing.rules.waste``).

    The same length noted twice changes nothing the second time.

    Raises:
        Refusal: nothing of that cloth was cut for the garment, or the length is none.
        NotInStock: more was cut than lay on the shelf.
    """
    require_owner(by, "note what was cut")
    require_same_workshop(garment.workshop, by, cloth)
    if not isfinite(length_mm) or not 0 < length_mm <= LONGEST_MM:
        raise Refusal("A length that was cut is above zero and at most 1,000 m.", field="length")
    lock_cloths([cloth.pk])
    before = cut_lengths(garment.pk).get(cloth.pk)
    if before is None:
        raise Refusal(f"No {cloth.name} was cut for {garment.title} yet.")
    # Also where it is as planned: that it was looked at is what later estimates learn from.
    held_lays(draft__garment=garment, cloth=cloth).update(real_cut_mm=length_mm)
    difference = length_mm - before
    if abs(difference) <= SLACK_MM:
        return 0.0
    if difference > 0:
        costing_services.cut_cloth(cloth=cloth, length_mm=difference, garment_id=garment.pk, now=now)
    else:
        cut = StockMove.objects.filter(garment=garment, cloth=cloth, kind=StockMove.Kind.CUT)
        costing_services.return_cloth(
            cloth=cloth,
            length_mm=-difference,
            garment_id=garment.pk,
            now=now,
            note="less was cut",
            taken_from=cut.order_by("-pk").values_list("taken_from_id", flat=True).first(),
        )
    write_log(
        workshop=garment.workshop,
        by=by,
        action="note cut length",
        row=garment,
        order_id=garment.order_id,
        summary=f"Noted {length_mm / 1000:.2f} m of {cloth.name} cut for {garment.title}",
        now=now,
        before={"length_mm": round(before, 1)},
        after={"length_mm": round(length_mm, 1)},
    )
    return difference
