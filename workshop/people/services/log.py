"""The log: who did what to which row, when, before and after. It is only ever added to."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db.models import Model

from workshop.people.models import LogEntry, Staff, Workshop

SERVICE = "the service"
"""The actor's name where no person acted: a job, a clock."""


def write_log(
    *,
    workshop: Workshop,
    by: Staff | None,
    action: str,
    row: Model,
    summary: str,
    now: datetime,
    order_id: int | None = None,
    before: Mapping[str, object] | None = None,
    after: Mapping[str, object] | None = None,
    actor: str = "",
) -> LogEntry:
    """Add an entry, inside the caller's transaction. ``actor`` names who acted where it was not staff.

    Never write names or measurements of a wearer here: they must be erasable, and the log is not.
    """
    return LogEntry.objects.create(
        workshop=workshop,
        at=now,
        staff=by,
        actor=by.name if by else (actor or SERVICE)[:120],
        action=action,
        row_kind=row._meta.model_name or "",
        row_id=row.pk,
        order_id=order_id,
        summary=summary[:300],
        before=_plain(before),
        after=_plain(after),
    )


def changed(
    before: Mapping[str, object], after: Mapping[str, object]
) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return the two states with only what differs."""
    names = [name for name in after if before.get(name) != after[name]]
    return {name: before.get(name) for name in names}, {name: after[name] for name in names}


def _plain(values: Mapping[str, object] | None) -> dict[str, object] | None:
    return None if values is None else {name: _json(value) for name, value in values.items()}


def _json(value: object) -> object:
    if isinstance(value, Decimal | date):  # a datetime is a date
        return str(value)
    if isinstance(value, Model):
        return value.pk
    if isinstance(value, Mapping):
        return {str(key): _json(item) for key, item in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        return [_json(item) for item in value]
    return value
