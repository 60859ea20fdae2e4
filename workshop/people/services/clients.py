"""Clients: who orders and pays."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from workshop.people.models import Client, Staff, Workshop
from workshop.people.services.checking import (
    clean_country,
    clean_email,
    clean_text,
    refuse_edited,
    require_same_workshop,
)
from workshop.people.services.log import changed, write_log

_FIELDS = ("name", "email", "phone", "address", "country", "note", "reminded")


@transaction.atomic
def create_client(
    *,
    workshop: Workshop,
    name: str,
    email: str = "",
    phone: str = "",
    address: str = "",
    country: str = "",
    note: str = "",
    by: Staff | None,
    now: datetime,
) -> Client:
    """Add a client. Raises: Refusal with ``field`` where the name is missing or a text cannot be stored."""
    require_same_workshop(workshop, by)
    values = _clean(name=name, email=email, phone=phone, address=address, country=country, note=note)
    client = Client.objects.create(workshop=workshop, created_at=now, **values)
    write_log(workshop=workshop, by=by, action="create client", row=client, summary="Added a client", now=now)
    return client


@transaction.atomic
def edit_client(
    *,
    client: Client,
    expected_version: int,
    name: str,
    email: str = "",
    phone: str = "",
    address: str = "",
    country: str = "",
    note: str = "",
    reminded: bool = True,
    by: Staff | None,
    now: datetime,
) -> Client:
    """Change a client's contact, and whether they are reminded of fittings. Papers that were sent keep what
    they said.

    Raises: EditedMeanwhile where somebody changed it after ``expected_version``; as ``create_client``.
    """
    require_same_workshop(client.workshop, by)
    values = {
        **_clean(name=name, email=email, phone=phone, address=address, country=country, note=note),
        "reminded": reminded,
    }
    client = Client.objects.select_for_update().get(pk=client.pk)
    refuse_edited(client, expected_version)
    _, after = changed({field: getattr(client, field) for field in _FIELDS}, values)
    for field, value in values.items():
        setattr(client, field, value)
    client.version += 1
    client.save(update_fields=[*values, "version"])
    # A name or an address in the log could never be erased: it says which fields changed, not what they said.
    fields = dict.fromkeys(after, "changed")
    write_log(
        workshop=client.workshop,
        by=by,
        action="edit client",
        row=client,
        summary="Changed a client's details",
        now=now,
        after=fields,
    )
    return client


@transaction.atomic
def choose_reminders(*, client: Client, reminded: bool, now: datetime) -> Client:
    """Note that the client, by the private page, wants reminders of fittings or does not. Twice is once."""
    client = Client.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=client.pk)
    if client.reminded != reminded:
        client.reminded = reminded
        client.version += 1
        client.save(update_fields=["reminded", "version"])
        write_log(
            workshop=client.workshop,
            by=None,
            actor="the customer",
            action="choose reminders",
            row=client,
            summary="Wants reminders of fittings" if reminded else "Wants no reminders of fittings",
            now=now,
            after={"reminded": reminded},
        )
    return client


def _clean(*, name: str, email: str, phone: str, address: str, country: str, note: str) -> dict[str, str]:
    return {
        "name": clean_text(name, field="name", longest=120, what="the client's name", required=True),
        "email": clean_email(email),
        "phone": clean_text(phone, field="phone", longest=40, what="the telephone number"),
        "address": clean_text(address, field="address", longest=1000, what="the address"),
        "country": clean_country(country),
        "note": clean_text(note, field="note", longest=4000, what="the note"),
    }
