"""Marking a line of the buying list as bought, as it was shown."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from costing.models import Cloth, Notion
from costing.services import buy_notion, pass_on_notion
from workshop.errors import Refusal
from workshop.orders.models import Garment
from workshop.orders.queries.buying import ToBuy, cloth_to_buy, notion_share
from workshop.orders.queries.notions import notions_over
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
    line_to_buy(workshop, cloth, shown_mm)
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
    wants, _ = notion_share(workshop, notion)
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


@transaction.atomic
def take_over_notion(
    *, workshop: Workshop, notion: Notion, shown: float, by: Staff | None, now: datetime
) -> list[Garment]:
    """Give what garments have over of a notion to those that lack it. Returns who got some.

    Each piece is noted with the garment that gave it and the one that got it. Raises: ListChanged.
    """
    require_same_workshop(workshop, notion, by)
    Notion.objects.select_for_update().get(pk=notion.pk)
    _, served = notion_share(workshop, notion)
    _refuse_changed(shown, sum(served.values()), notion.name)
    left = dict(notions_over(workshop)[notion.pk])
    for garment_id, count in sorted(served.items()):
        for giver, amount in _given(left, count):
            pass_on_notion(notion=notion, count=amount, from_id=giver, to_id=garment_id, now=now)
    write_log(
        workshop=workshop,
        by=by,
        action="take over notion",
        row=notion,
        summary=f"Took over {shown:g} × {notion.name} that was left over",
        now=now,
        after={"count": shown, "for": sorted(served)},
    )
    return list(Garment.objects.filter(pk__in=served).order_by("pk"))


def line_to_buy(workshop: Workshop, cloth: Cloth, shown_mm: float) -> ToBuy:
    """Lock whom a cloth is for and the cloth, and return its line on the list.

    Inside the caller's transaction. Raises: ListChanged where the list says another length now.
    """
    lock_waiting_for(workshop, cloth)  # garments before cloths, as everywhere
    lock_cloths([cloth.pk])
    line = cloth_to_buy(workshop, cloth)
    if line is None:
        raise _changed(cloth.name)
    _refuse_changed(shown_mm, line.amount, cloth.name)
    return line


def _given(left: dict[int, float], count: float) -> list[tuple[int, float]]:
    """Who gives how many of a count; what is left of theirs is written down."""
    given = []
    for giver in sorted(left):
        amount = min(left[giver], count)
        if amount > 0:
            given.append((giver, amount))
            left[giver] -= amount
            count -= amount
    return given


def _refuse_changed(shown: float, holds: float, name: str) -> None:
    # Written so that a figure that is no number is refused, too.
    if not (holds > 0 and abs(shown - holds) <= SLACK):
        raise _changed(name)


def _changed(name: str) -> ListChanged:
    return ListChanged(f"The list has changed: look at {name} again before you mark it bought.")
