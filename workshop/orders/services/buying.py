"""Marking a line of the buying list as bought, as it was shown."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from costing.models import Cloth, Notion
from costing.services import buy_notion
from workshop.errors import Refusal
from workshop.orders.models import Garment
from workshop.orders.queries.buying import cloth_to_buy, notion_wants
from workshop.orders.rules.buying import SLACK
from workshop.orders.services.shelf import lock_cloths
from workshop.orders.services.stocking import lock_waiting_for, mark_cloth_bought
from workshop.people.models import Staff, Workshop
from workshop.people.services import write_log
from workshop.people.services.checking import require_same_workshop


class ListChanged(Refusal):
    """What was shown is not what is to buy now: somebody bought it, or a garment came or changed."""


@transaction.atomic
def buy_listed_cloth(
    *, workshop: Workshop, cloth: Cloth, shown_mm: float, by: Staff | None, now: datetime
) -> list[Garment]:
    """Buy the length that the list shows for a cloth. Returns the garments that it was set aside for.

    Raises: ListChanged where the list says another length now.
    """
    require_same_workshop(workshop, cloth, by)
    lock_waiting_for(workshop, cloth)  # garments before cloths, as everywhere
    lock_cloths([cloth.pk])
    _refuse_changed(shown_mm, cloth_to_buy(workshop, cloth), cloth.name)
    return mark_cloth_bought(workshop=workshop, cloth=cloth, length_mm=shown_mm, by=by, now=now)


@transaction.atomic
def buy_listed_notion(
    *, workshop: Workshop, notion: Notion, shown: float, by: Staff | None, now: datetime
) -> None:
    """Buy as many of a notion as the list shows, each noted with the garment that it is for.

    Raises: ListChanged where the list says another number now.
    """
    require_same_workshop(workshop, notion, by)
    Notion.objects.select_for_update().get(pk=notion.pk)
    wants = notion_wants(workshop, notion)
    _refuse_changed(shown, sum(wants.values()), notion.name)
    for garment_id, count in sorted(wants.items()):
        buy_notion(notion=notion, count=count, garment_id=garment_id, now=now)
    write_log(
        workshop=workshop,
        by=by,
        action="buy notion",
        row=notion,
        summary=f"Bought {shown:g} × {notion.name}",
        now=now,
        after={"count": shown, "for": sorted(wants)},
    )


def _refuse_changed(shown: float, holds: float, name: str) -> None:
    # Written so that a figure that is no number is refused, too.
    if not (holds > 0 and abs(shown - holds) <= SLACK):
        raise ListChanged(f"The list has changed: look at {name} again before you mark it bought.")
