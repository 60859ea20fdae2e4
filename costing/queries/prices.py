"""The price list and the stock."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet, Sum

from costing.models import Cloth, Flaw, Notion, Rates, StockMove
from costing.rules.care import CARE_FIELDS, CareMark, care_marks
from costing.rules.lengths import (
    SLACK_MM,
    Length,
    Lying,
    Move,
    Spot,
    held_by_garment,
    lengths_on_shelf,
    lying,
)


def cloths(workshop: Any, use: str | None = None) -> QuerySet[Cloth]:
    """The cloths that are sold, by name."""
    rows = Cloth.objects.filter(workshop=workshop, archived_at=None)
    return (rows if use is None else rows.filter(use=use)).order_by("use", "name", "pk")


def care_of(cloth: Cloth) -> tuple[CareMark, ...]:
    """What may be done to a cloth, in the order of a label; of what nobody has said, nothing."""
    return care_marks({name: getattr(cloth, name) for name in CARE_FIELDS})


def notions(workshop: Any) -> QuerySet[Notion]:
    return Notion.objects.filter(workshop=workshop, archived_at=None).order_by("kind", "name", "pk")


def cloth_of(workshop: Any, pk: int) -> Cloth | None:
    return Cloth.objects.filter(workshop=workshop, pk=pk).first()


def notion_of(workshop: Any, pk: int) -> Notion | None:
    return Notion.objects.filter(workshop=workshop, pk=pk).first()


def rates_of(workshop: Any) -> Rates | None:
    """What an hour costs there; None until the owner has said so."""
    return Rates.objects.filter(workshop=workshop).first()


@dataclass(frozen=True, slots=True)
class Stock:
    """Length of a cloth, mm: on the shelf, of that set aside for garments, and what is free."""

    on_shelf: float = 0.0
    reserved: float = 0.0

    @property
    def free(self) -> float:
        return self.on_shelf - self.reserved


def stock_of(cloth_ids: Iterable[int], *, garment_id: int | None = None) -> dict[int, Stock]:
    """Return the stock of each cloth, in one query; with a garment, only what is reserved for that one."""
    ids = list(cloth_ids)
    rows = (
        StockMove.objects.filter(cloth_id__in=ids)
        .order_by()
        .values("cloth_id", "kind", "garment_id")
        .annotate(amount=Sum("amount"))
    )
    found = {pk: [0.0, 0.0] for pk in ids}
    for row in rows:
        held = found[row["cloth_id"]]
        held[0] += SHELF_SIGN.get(row["kind"], 0) * row["amount"]
        if garment_id is None or row["garment_id"] == garment_id:
            held[1] += RESERVED_SIGN.get(row["kind"], 0) * row["amount"]
    return {pk: Stock(round(shelf, 3), round(reserved, 3)) for pk, (shelf, reserved) in found.items()}


def lengths_of(cloth_ids: Iterable[int], *, but_for: int | None = None) -> dict[int, tuple[Length, ...]]:
    """Return what is free of each length of each cloth, the longest first, in two queries.

    ``but_for``: a garment for which what it has set aside itself is as good as free.
    """
    moves = _moves(cloth_ids)
    flaws: dict[int, list[Spot]] = {}
    rows = Flaw.objects.filter(length__cloth__in=list(moves)).order_by("pk")
    for key, at, across, size in rows.values_list("length_id", "at_mm", "across_mm", "size_mm"):
        flaws.setdefault(key, []).append(Spot(at, across, size))
    return {pk: lengths_on_shelf(found, flaws, but_for=but_for) for pk, found in moves.items()}


def held_lengths(garment_ids: Iterable[int]) -> dict[tuple[int, int], dict[int, float]]:
    """Return what is set aside, in two queries: (garment, cloth) -> mm by the length that it lies on."""
    wanted = set(garment_ids)
    rows = StockMove.objects.filter(garment__in=wanted, cloth__isnull=False, kind=StockMove.Kind.RESERVED)
    cloth_ids = set(rows.values_list("cloth_id", flat=True))
    return {
        (garment_id, cloth_id): held
        for cloth_id, moves in _moves(cloth_ids).items()
        for garment_id, held in held_by_garment(moves).items()
        if garment_id in wanted
    }


def lying_of(cloth_id: int) -> tuple[Lying, ...]:
    """Return the lengths of a cloth as they lie there, set aside or not, the longest first."""
    return lying(_moves([cloth_id])[cloth_id])


def _moves(cloth_ids: Iterable[int]) -> dict[int, list[Move]]:
    moves: dict[int, list[Move]] = {pk: [] for pk in cloth_ids}
    rows = StockMove.objects.filter(cloth_id__in=list(moves)).order_by("pk")
    for cloth_id, kind, amount, garment_id, key, taken_from in rows.values_list(
        "cloth_id", "kind", "amount", "garment_id", "pk", "taken_from_id"
    ):
        if cloth_id is not None:
            moves[cloth_id].append(Move(kind, amount, garment_id, key, taken_from))
    return moves


def flaws_of(cloth: Cloth) -> QuerySet[Flaw]:
    """The flaws of a cloth's lengths, by length."""
    return Flaw.objects.filter(length__cloth=cloth).select_related("length").order_by("length", "at_mm", "pk")


def flaw_of(workshop: Any, pk: int) -> Flaw | None:
    return Flaw.objects.filter(workshop=workshop, pk=pk).select_related("length__cloth").first()


Kind = StockMove.Kind
SHELF_SIGN: Mapping[str, int] = {Kind.BOUGHT: 1, Kind.RETURNED: 1, Kind.CUT: -1, Kind.WASTED: -1}
RESERVED_SIGN: Mapping[str, int] = {Kind.RESERVED: 1, Kind.RELEASED: -1}
"""Cutting releases first, so a cut never counts twice."""


def reserved_for(garment_id: int) -> dict[int, float]:
    """Return what is set aside for a garment, mm by cloth."""
    rows = StockMove.objects.filter(garment_id=garment_id, cloth__isnull=False, kind__in=RESERVED_SIGN)
    sums: dict[int, float] = {}
    for cloth_id, kind, amount in rows.values_list("cloth_id", "kind", "amount"):
        sums[cloth_id] = sums.get(cloth_id, 0.0) + RESERVED_SIGN[kind] * amount
    return {cloth_id: round(amount, 3) for cloth_id, amount in sums.items() if amount > SLACK_MM}


def moves_of(cloth: Cloth) -> QuerySet[StockMove]:
    return StockMove.objects.filter(cloth=cloth).order_by("-at", "-pk")
