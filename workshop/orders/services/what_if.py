"""What a garment would cost with another cloth, width, lining, pleats, number or day. Nothing is stored."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

import drafting
from costing.models import Cloth, Rates
from costing.rules.estimate import Estimate as Reckoned
from costing.rules.labour import Operation
from costing.rules.learning import average_time
from costing.rules.materials import ClothNeed
from costing.rules.money import ZERO
from drafting.pattern import Draft as Pattern
from workshop.errors import Refusal
from workshop.orders.models import Draft, Garment, GarmentCloth, LayPlan
from workshop.orders.queries.garments import (
    body_for,
    current_draft,
    current_lays,
    needed_roles,
    pattern_of,
)
from workshop.orders.queries.operations import operations_of
from workshop.orders.services.estimating import (
    guessed_length,
    need_of,
    need_of_lay,
    pricing_of,
    rates_to_price_by,
    reckon,
)
from workshop.people.queries import house_values
from workshop.people.services.checking import require_same_workshop

MOST_ALIKE = 12
LINING = "lining"
"""The choice of styles that lines a garment, and the role of its cloth."""
PLEATS = "pleats"
"""The choice of styles that says how many pleats are folded on each quarter."""


@dataclass(frozen=True, slots=True)
class WhatIf:
    """What is to be another way; what is left empty stays as the garment has it.

    Args:
        cloths: another cloth by role.
        width_mm: of the shell, in the place of the width in the price list.
        lining, pleats: values of the style's choices.
        quantity: of the same garment, made together, from 1 to MOST_ALIKE; None: as many as the order has.
        learning_rate: each doubling of the quantity takes the average time to this share of it; None: the
            workshop's.
        due_on: another day; one that is sooner than the order's is a rush.
        rush: share that a rush adds; None leaves it to the day: what a rush usually adds, where it is one.
    """

    cloths: Mapping[str, Cloth]
    width_mm: float | None = None
    lining: str | None = None
    pleats: int | None = None
    quantity: int | None = None
    learning_rate: float | None = None
    due_on: date | None = None
    rush: Decimal | None = None


@dataclass(frozen=True, slots=True)
class WhatIfReckoned:
    """The price that it would have.

    Args:
        each: the estimate of one garment.
        guessed: roles whose cloth was guessed from the area of the pieces, as no lay is there.
        drafted: whether the pattern was drafted anew for another choice.
        copies: how many of this very garment are made; others of the order that are alike are not among them.
        operations: of one garment, standard minutes: what the plan is asked with.
        due_on: the day that is wished for.
    """

    each: Reckoned
    guessed: tuple[str, ...]
    drafted: bool
    copies: int
    operations: tuple[Operation, ...]
    due_on: date

    @property
    def total(self) -> Decimal:
        return self.each.total * self.each.quantity

    @property
    def profit(self) -> Decimal:
        return self.each.profit * self.each.quantity

    @property
    def minutes(self) -> int:
        return self.each.minutes * self.each.quantity


def reckon_what_if(*, garment: Garment, what: WhatIf) -> WhatIfReckoned:
    """Reckon a garment another way, beside the estimate that holds.

    A lay counts where pattern, cloth and width are those that it was made for; else the length is guessed.

    Raises:
        Refusal: there is no draft, too many or too few are wanted, or a width is none; NotPriced.
        CannotDraft, BadChoice: the choice makes no sound pattern.
    """
    require_same_workshop(garment.workshop, *what.cloths.values())
    if what.quantity is not None and not 1 <= what.quantity <= MOST_ALIKE:
        raise Refusal(f"Reckon from 1 to {MOST_ALIKE} of the same.", field="quantity")
    if what.width_mm is not None and not 100 <= what.width_mm <= 5000:
        raise Refusal("A cloth is from 10 cm to 5 m wide.", field="width")
    rates = rates_to_price_by(garment.workshop)
    draft = current_draft(garment)
    if draft is None:
        raise Refusal(f"Draft {garment.title} first; the price is reckoned from its pattern.")
    pattern, drafted = _pattern(garment, draft, what)
    lays = {} if drafted else {lay.role: lay for lay in current_lays(draft)}
    cloths, guessed = _needs(garment, pattern, lays, what)
    pricing = pricing_of(garment, rates)
    pricing = replace(
        pricing,
        quantity=what.quantity or pricing.quantity,
        learning_rate=pricing.learning_rate if what.learning_rate is None else what.learning_rate,
        rush=_rush(garment, what, rates),
    )
    each, _ = reckon(garment=garment, pattern=pattern, cloths=cloths, rates=rates, pricing=pricing)
    planned = operations_of(garment, pattern).operations
    share = average_time(1.0, quantity=pricing.quantity, rate=pricing.learning_rate)
    alike = tuple(replace(operation, minutes=operation.minutes * share) for operation in planned)
    return WhatIfReckoned(
        each, tuple(guessed), drafted, what.quantity or 1, alike, what.due_on or garment.order.due_on
    )


def _rush(garment: Garment, what: WhatIf, rates: Rates) -> Decimal:
    """The share that a rush adds: as asked; else what is usual for a day sooner than the order's."""
    if what.rush is not None:
        return what.rush
    order = garment.order
    sooner = what.due_on is not None and what.due_on < order.due_on
    return max(rates.rush_percent if sooner else ZERO, order.rush_percent) / 100


def _pattern(garment: Garment, draft: Draft, what: WhatIf) -> tuple[Pattern, bool]:
    """The pattern that holds, or one drafted anew where a choice is another; and whether it was."""
    pattern = pattern_of(draft)
    asked = {LINING: what.lining, PLEATS: what.pleats}
    other = {name: value for name, value in asked.items() if value is not None}
    if all(pattern.choices.get(name) == value for name, value in other.items()):
        return pattern, False
    body = body_for(garment)
    if body is None:
        raise Refusal(f"Measure {garment.wearer.name} first; another choice is drafted anew.")
    choices = {**pattern.choices, **other}
    return drafting.make_draft(garment.style, body, choices, house_values(garment.workshop)), True


def _needs(
    garment: Garment, pattern: Pattern, lays: Mapping[str, LayPlan], what: WhatIf
) -> tuple[list[ClothNeed], list[str]]:
    """What is bought of each cloth, and the roles whose length is a guess."""
    chosen = {row.role: row.cloth for row in garment.cloths.select_related("cloth")} | dict(what.cloths)
    needs, guessed = [], []
    for role in needed_roles(pattern):
        if role not in chosen:
            continue
        cloth = chosen[role]
        is_shell = role == GarmentCloth.Role.SHELL
        width = what.width_mm if is_shell and what.width_mm else cloth.width_mm
        lay = lays.get(role)
        if lay is not None and lay.cloth_id == cloth.pk and width == cloth.width_mm:
            needs.append(need_of_lay(lay, cloth))
            continue
        length, why = guessed_length(pattern, role, width), "guessed from the pieces' area"
        guessed.append(role)
        needs.append(need_of(cloth, role, length, why))
    return needs, guessed
