"""Notions of garments: what each needs, has and lacks, and what some have over."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from django.db.models import Sum

from costing.models import Estimate, Notion, StockMove
from costing.queries import notions
from costing.rules.notions import fitting_notion, notion_words
from workshop.orders.models import Draft, Garment, Stage
from workshop.orders.rules.buying import SLACK
from workshop.people.models import Workshop

Key = tuple[int, int]
"""Garment and notion."""

SEWN_IN = (Stage.FIT, Stage.DELIVER, Stage.DELIVERED)
"""From these stages on, what was bought for a garment is in it."""

_SIGNS = {StockMove.Kind.BOUGHT: 1, StockMove.Kind.RESERVED: 1, StockMove.Kind.RETURNED: -1}
"""Set aside: taken over from another garment. Returned: given to another."""


def notions_needed(
    workshop: Workshop, garments: Mapping[int, Garment]
) -> tuple[dict[Key, float], list[tuple[str, Garment]]]:
    """From the drafts that hold what is sewn in, from the estimates that hold the reels of thread.

    Returns how many each garment needs, and in words what the price list does not have.
    """
    listed = list(notions(workshop))
    needed: dict[Key, float] = {}
    unlisted = []
    drafts = Draft.objects.filter(garment__in=garments, superseded_at=None).order_by("pk")
    for garment_id, needs in drafts.values_list("garment_id", "output__notions"):
        for need in needs or []:
            notion = fitting_notion(listed, need["kind"], need["size"])
            if notion is None:
                words = notion_words(need["kind"], need["size"])
                unlisted.append((f"{need['count']:g} × {words}", garments[garment_id]))
            else:
                key = (garment_id, notion.pk)
                needed[key] = needed.get(key, 0.0) + need["count"]
    for garment_id, notion_id, reels in _thread(listed, garments):
        needed[garment_id, notion_id] = reels
    return needed, unlisted


def _thread(listed: list[Notion], garments: Mapping[int, Garment]) -> Iterable[tuple[int, int, float]]:
    by_name = {row.name: row.pk for row in listed if row.kind == Notion.Kind.THREAD}
    rows = Estimate.objects.filter(garment__in=garments, superseded_at=None).order_by("pk")
    for garment_id, lines in rows.values_list("garment_id", "content__lines"):
        for line in lines or []:
            if line["kind"] == "thread" and line["what"] in by_name:
                yield garment_id, by_name[line["what"]], float(line["quantity"])


def notions_had(garment_ids: Collection[int]) -> dict[Key, float]:
    """Return what garments have: bought for them, or taken over, less what was given to others."""
    rows = StockMove.objects.filter(garment__in=garment_ids, notion__isnull=False, kind__in=_SIGNS).order_by()
    had: dict[Key, float] = {}
    for garment_id, notion_id, kind, count in rows.values_list("garment_id", "notion_id", "kind").annotate(
        count=Sum("amount")
    ):
        key = (garment_id, notion_id)
        had[key] = had.get(key, 0.0) + _SIGNS[StockMove.Kind(kind)] * count
    return had


def notions_over(workshop: Workshop) -> dict[int, dict[int, float]]:
    """Return what garments have of a notion beyond their need: notion -> garment -> count.

    A garment of a cancelled order needs nothing. What was sewn in already is no longer over.
    """
    rows = Garment.objects.filter(workshop=workshop, stock_moves__notion__isnull=False).exclude(
        stage__in=SEWN_IN
    )
    garments = {row.pk: row for row in rows.select_related("order").order_by("pk").distinct()}
    open_ = {pk: row for pk, row in garments.items() if row.order.cancelled_at is None}
    needed, _ = notions_needed(workshop, open_)
    # A garment that waits to be drafted anew may need them all again.
    drafts = Draft.objects.filter(garment__in=open_, superseded_at=None)
    drafted = set(drafts.values_list("garment_id", flat=True))
    over: dict[int, dict[int, float]] = {}
    for (garment_id, notion_id), count in sorted(notions_had(garments).items()):
        if garment_id in open_ and garment_id not in drafted:
            continue
        left = count - needed.get((garment_id, notion_id), 0.0)
        if left > SLACK:
            over.setdefault(notion_id, {})[garment_id] = left
    return over
