"""Moving a garment from stage to stage, and ticking off its cutting list."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from workshop.errors import Refusal
from workshop.orders.models import CuttingLine, Garment, Stage
from workshop.orders.queries.facts import facts_of_one
from workshop.orders.rules import stages
from workshop.orders.services.asking import ask_for_plan
from workshop.orders.services.stocking import take_cut_cloth
from workshop.people.models import Staff
from workshop.people.services import write_log
from workshop.people.services.checking import clean_text, require_same_workshop


class CannotMove(Refusal):
    """There is no such move, or a guard refuses it; the message says which and what would satisfy it."""


@transaction.atomic
def move_garment(
    *,
    garment: Garment,
    to: str,
    by: Staff | None,
    now: datetime,
    reason: str = "",
    owner_word: bool = False,
) -> Garment:
    """Move a garment to another stage.

    Moving back needs a reason. ``owner_word``: the owner moves it although what only she may overlook is
    missing (the deposit, the fitting, the balance); she says why.

    Raises: CannotMove.
    """
    require_same_workshop(garment.workshop, by)
    rows = Garment.objects.select_for_update(of=("self",)).select_related("workshop", "order", "wearer")
    garment = rows.get(pk=garment.pk)
    rule = stages.rule_for(garment.stage, to)
    if rule is None:
        raise CannotMove(_no_such_move(garment, to))
    reason = clean_text(reason, field="reason", longest=300, what="the reason")
    _refuse(rule, garment, by, now, reason=reason, owner_word=owner_word)
    before = garment.stage
    _effects(garment, rule, now)
    garment.stage, garment.stage_since_at = to, now
    garment.version += 1
    garment.save(update_fields=["stage", "stage_since_at", "measurements", "delivered_at", "version"])
    write_log(
        workshop=garment.workshop,
        by=by,
        action="move garment",
        row=garment,
        order_id=garment.order_id,
        summary=f"Moved {garment.title} from {before} to {to}" + (f": {reason}" if reason else ""),
        now=now,
        before={"stage": before},
        after={"stage": to, "on_the_owners_word": owner_word},
    )
    ask_for_plan(garment.workshop)
    return garment


def _no_such_move(garment: Garment, to: str) -> str:
    known = [rule.to for rule in stages.moves_from(garment.stage)]
    if garment.stage == to:
        return f"{garment.title} is at {to} already."
    if not known:
        return f"{garment.title} is {garment.stage}; it moves no further."
    return f"{garment.title} is at {garment.stage}; from there it goes to {' or '.join(known)}."


def _refuse(
    rule: stages.Rule, garment: Garment, by: Staff | None, now: datetime, *, reason: str, owner_word: bool
) -> None:
    facts = facts_of_one(garment, now=now)
    missing = stages.refusals(rule, facts)
    if rule.back and not reason:
        raise CannotMove("Say why it goes back; the next one who works on it reads it.", field="reason")
    if not missing:
        return
    if not owner_word:
        raise CannotMove(f"{garment.title} cannot go to {rule.to} yet. " + " ".join(missing))
    if by is None or not by.is_owner:
        raise CannotMove("Only the owner can move it on her word.")
    if not stages.is_waivable(rule, facts):
        raise CannotMove("That cannot be overlooked, even by the owner: " + " ".join(missing))
    if not reason:
        raise CannotMove("Say why you move it all the same.", field="reason")


def _effects(garment: Garment, rule: stages.Rule, now: datetime) -> None:
    if (rule.start, rule.to) == (Stage.CUT, Stage.SEW):
        take_cut_cloth(garment=garment, now=now)
    if rule.to == Stage.MEASURE:
        garment.measurements = None  # it waits for new ones; the old ones stay in the wearer's book
    if rule.to == Stage.DELIVERED:
        garment.delivered_at = now


@transaction.atomic
def tick_cutting_line(*, line: CuttingLine, by: Staff, now: datetime) -> CuttingLine:
    """Note that a line of the cutting list is cut. Ticking twice is ticking once.

    Raises: Refusal where the draft is superseded or the garment is not at the stage of cutting.
    """
    line = _locked_line(line, by)
    if line.cut_at is None:
        line.cut_by, line.cut_at = by, now
        line.save(update_fields=["cut_by", "cut_at"])
        _log_line(line, by, "tick line", f"Cut {line.piece} of {line.cloth}", now)
    return line


@transaction.atomic
def untick_cutting_line(*, line: CuttingLine, by: Staff, now: datetime) -> CuttingLine:
    """Take a tick back. Raises: as ``tick_cutting_line``."""
    line = _locked_line(line, by)
    if line.cut_at is not None:
        line.cut_by = line.cut_at = None
        line.save(update_fields=["cut_by", "cut_at"])
        _log_line(line, by, "untick line", f"{line.piece} of {line.cloth} is not cut yet after all", now)
    return line


def _log_line(line: CuttingLine, by: Staff, action: str, summary: str, now: datetime) -> None:
    write_log(
        workshop=line.draft.workshop,
        by=by,
        action=action,
        row=line,
        order_id=line.draft.garment.order_id,
        summary=summary,
        now=now,
    )


def _locked_line(line: CuttingLine, by: Staff) -> CuttingLine:
    rows = CuttingLine.objects.select_for_update(of=("self",)).select_related(
        "draft__workshop", "draft__garment__order"
    )
    line = rows.get(pk=line.pk)
    require_same_workshop(line.draft.workshop, by)
    if line.draft.superseded_at is not None:
        raise Refusal(
            "This cutting list belongs to a superseded draft. Do not cut from it; open the new one."
        )
    if line.draft.garment.order.cancelled_at is not None:
        raise Refusal("The order was cancelled; nothing is cut for it.")
    if line.draft.garment.stage != Stage.CUT:
        raise Refusal(f"{line.draft.garment.title} is at {line.draft.garment.stage}; nothing is cut now.")
    return line
