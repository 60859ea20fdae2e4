"""Machines that are scarce: named once, and then every plan reckons with them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from workshop.errors import Refusal
from workshop.people.models import Staff, Workshop
from workshop.people.services.checking import (
    clean_text,
    refuse_edited,
    require_owner,
    require_same_workshop,
)
from workshop.people.services.log import write_log
from workshop.planning.models import Machine, TaskGroup

MOST = 50


@transaction.atomic
def add_machine(
    *, workshop: Workshop, name: str, count: int, groups: Sequence[str], by: Staff, now: datetime
) -> Machine:
    """Note a machine, and which kinds of work need one of it. Ask for a new plan afterwards.

    Raises: Refusal with ``field``.
    """
    require_owner(by, "note a machine")
    require_same_workshop(workshop, by)
    machine = Machine(workshop=workshop)
    _fill(machine, name, count, groups)
    machine.save()
    _log(machine, by, "add machine", now)
    return machine


@transaction.atomic
def edit_machine(
    *,
    machine: Machine,
    name: str,
    count: int,
    groups: Sequence[str],
    expected_version: int,
    by: Staff,
    now: datetime,
) -> Machine:
    """Change a machine. Ask for a new plan afterwards.

    Raises:
        EditedMeanwhile: somebody else changed it since the page was opened.
        Refusal: with ``field``.
    """
    held = _locked(machine, by)
    refuse_edited(held, expected_version)
    _fill(held, name, count, groups)
    held.version += 1
    held.save()
    _log(held, by, "edit machine", now)
    return held


@transaction.atomic
def drop_machine(*, machine: Machine, by: Staff, now: datetime) -> None:
    """Forget a machine: plans no longer reckon with it. Ask for a new plan afterwards.

    Raises: Refusal where it is gone already.
    """
    held = _locked(machine, by)
    _log(held, by, "drop machine", now)
    held.delete()


def _locked(machine: Machine, by: Staff) -> Machine:
    require_owner(by, "change a machine")
    require_same_workshop(machine.workshop, by)
    held = Machine.objects.select_for_update().filter(pk=machine.pk).first()
    if held is None:
        raise Refusal("This machine was taken off the list already.")
    return held


def _fill(machine: Machine, name: str, count: int, groups: Sequence[str]) -> None:
    machine.name = clean_text(name, field="name", longest=60, what="the machine's name", required=True)
    if not 1 <= count <= MOST:
        raise Refusal(f"Say how many there are, from 1 to {MOST}.", field="count")
    unknown = [group for group in groups if group not in TaskGroup.values]
    if unknown or not groups:
        raise Refusal("Choose which kinds of work need it.", field="groups")
    machine.count, machine.groups = count, [group for group in TaskGroup.values if group in groups]
    same = Machine.objects.filter(workshop=machine.workshop, name=machine.name).exclude(pk=machine.pk)
    if same.exists():
        raise Refusal("There is a machine of that name; change how many there are instead.", field="name")


def _log(machine: Machine, by: Staff, action: str, now: datetime) -> None:
    write_log(
        workshop=machine.workshop,
        by=by,
        action=action,
        row=machine,
        summary=f"{machine.name}: {machine.count}, for {', '.join(machine.groups)}",
        now=now,
        after={"name": machine.name, "count": machine.count, "groups": machine.groups},
    )
