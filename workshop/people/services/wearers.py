"""Wearers: who is measured. A minor is measured through a guardian who consents."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any, Required, TypedDict, Unpack

from django.db import transaction

from workshop.errors import Refusal
from workshop.people.models import Client, Staff, Wearer
from workshop.people.rules import ages
from workshop.people.services.checking import clean_text, refuse_edited, require_same_workshop
from workshop.people.services.log import changed, write_log


class WearerDetails(TypedDict, total=False):
    """What is written down of a wearer; what is left out is not known."""

    name: Required[str]
    born_on: date | None
    is_minor: bool
    guardian: str
    consent_by: str
    consent_on: date | None
    keep_until_on: date | None
    fit_notes: str


@transaction.atomic
def create_wearer(
    *, client: Client, by: Staff | None, now: datetime, **details: Unpack[WearerDetails]
) -> Wearer:
    """Add a wearer to a client.

    A wearer is a minor where the form says so or the date of birth does. A minor needs a guardian, and the
    name and day of the consent to keep the measurements; they are kept for a year after it unless a day is
    given.

    Raises: Refusal with ``field``.
    """
    require_same_workshop(client.workshop, by)
    values = _clean(details, client.workshop.day_of(now))
    wearer = Wearer.objects.create(workshop=client.workshop, client=client, **values)
    write_log(
        workshop=client.workshop,
        by=by,
        action="create wearer",
        row=wearer,
        summary="Added a wearer, a minor with a guardian's consent" if wearer.is_minor else "Added a wearer",
        now=now,
        after={
            "is_minor": wearer.is_minor,
            "consent_on": wearer.consent_on,
            "keep_until_on": wearer.keep_until_on,
        },
    )
    return wearer


@transaction.atomic
def edit_wearer(
    *,
    wearer: Wearer,
    expected_version: int,
    by: Staff | None,
    now: datetime,
    **details: Unpack[WearerDetails],
) -> Wearer:
    """Change a wearer.

    Raises: EditedMeanwhile where somebody changed it after ``expected_version``; Refusal with ``field``, also
    for a wearer whose data were erased.
    """
    require_same_workshop(wearer.workshop, by)
    wearer = Wearer.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=wearer.pk)
    refuse_erased(wearer)
    refuse_edited(wearer, expected_version)
    values = _clean(details, wearer.workshop.day_of(now))
    _, after = changed({field: getattr(wearer, field) for field in values}, values)
    for field, value in values.items():
        setattr(wearer, field, value)
    wearer.version += 1
    wearer.save(update_fields=[*values, "version"])
    write_log(
        workshop=wearer.workshop,
        by=by,
        action="edit wearer",
        row=wearer,
        summary="Changed a wearer's details",
        now=now,
        after=dict.fromkeys(after, "changed"),
    )
    return wearer


def refuse_erased(wearer: Wearer) -> None:
    """Raises: Refusal where the wearer's data were erased on request."""
    if wearer.erased_at is not None:
        raise Refusal("This wearer's data were erased; add them anew if they come back.")


def _clean(details: WearerDetails, today: date) -> dict[str, Any]:
    """Every field of a wearer, as it can be stored. Raises: Refusal with ``field``."""
    born_on, is_minor = details.get("born_on"), details.get("is_minor", False)
    keep_until_on = details.get("keep_until_on")
    name = clean_text(details["name"], field="name", longest=120, what="the wearer's name", required=True)
    notes = clean_text(details.get("fit_notes", ""), field="fit_notes", longest=4000, what="the notes")
    if born_on is not None:
        problem = ages.birth_problem(born_on, today)
        if problem:
            raise Refusal(problem, field="born_on")
        is_minor = is_minor or ages.is_minor(born_on, today)
    consent = _clean_consent(details, is_minor, today)
    if is_minor and keep_until_on is None:
        keep_until_on = ages.default_keep_until(consent["consent_on"])
    if keep_until_on is not None and keep_until_on < today:
        raise Refusal(
            "The day until which measurements are kept is past; choose a later one.", field="keep_until_on"
        )
    return {
        "name": name,
        "born_on": born_on,
        "fit_notes": notes,
        **consent,
        "is_minor": is_minor,
        "keep_until_on": keep_until_on,
    }


def _clean_consent(details: WearerDetails, is_minor: bool, today: date) -> dict[str, Any]:
    consent_by, consent_on = details.get("consent_by", ""), details.get("consent_on")
    guardian = clean_text(
        details.get("guardian", ""),
        field="guardian",
        longest=120,
        what="the guardian's name",
        required=is_minor,
    )
    if is_minor and not str(consent_by).strip() and consent_on is not None:
        consent_by = guardian
    consent_by = clean_text(
        consent_by,
        field="consent_by",
        longest=120,
        what="who consents to keeping the measurements",
        required=is_minor,
    )
    if is_minor and consent_on is None:
        raise Refusal(
            "Enter the day on which the guardian consented; check your local rules.", field="consent_on"
        )
    if consent_on is not None and consent_on > today:
        raise Refusal("The consent cannot be dated in the future.", field="consent_on")
    return {"guardian": guardian, "consent_by": consent_by, "consent_on": consent_on}
