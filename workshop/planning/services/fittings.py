"""Fittings: booked, moved, cancelled, by the customer or by the workshop."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import IntegrityError, transaction
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from costing import speech
from workshop.errors import Refusal
from workshop.orders.models import Garment, Stage
from workshop.orders.services.asking import ask_for_plan
from workshop.people.models import Staff, Workshop
from workshop.people.services.checking import require_same_workshop
from workshop.people.services.log import write_log
from workshop.planning.models import Fitting
from workshop.planning.queries.hours import able, hours_of
from workshop.planning.queries.slots import (
    SKILL,
    is_there,
    may_change_alone,
    next_free_slot,
    notice_words,
    ready_to_try,
)

MOST_MOVES = 3
"""So often a customer moves one fitting alone; after that they are asked to call. Our own choice."""

FURTHEST = timedelta(days=730)
CUSTOMER = "the customer"
TAKEN = gettext_noop("Somebody was quicker: that time is taken")


class NothingToTryOn(Refusal):
    """The garment cannot be fitted, now or then."""


class FitterBusy(Refusal):
    """The time is taken; ``next_at`` is the next one that is free, if any."""

    def __init__(self, message: str, *, next_at: datetime | None) -> None:
        super().__init__(message, field="starts_at")
        self.next_at = next_at


class TimeNotOffered(Refusal):
    """The time is past, or outside the hours."""


class FittingClosed(Refusal):
    """The fitting was held or cancelled, or may no longer be changed by the customer alone."""


@dataclass(frozen=True, slots=True)
class Wish:
    """A time somebody wants, with whom, and the fitting that it replaces."""

    starts_at: datetime
    ends_at: datetime
    fitter: Staff | None = None
    moved: Fitting | None = None


@transaction.atomic
def book_fitting(
    *,
    garment: Garment,
    starts_at: datetime,
    now: datetime,
    by: Staff | None = None,
    fitter: Staff | None = None,
    length: timedelta | None = None,
) -> Fitting:
    """Book a fitting. ``by`` None is the customer, who gets only what is offered; the workshop may bend its
    own hours.

    Args:
        fitter: None takes whoever is free then.
        length: None takes the workshop's usual.

    Raises:
        NothingToTryOn: the garment is delivered, cancelled, has a fitting to come, or will not be ready.
        TimeNotOffered: the time is past or outside the hours.
        FitterBusy: taken meanwhile; the message names the next free time.
    """
    garment = _locked(garment)
    require_same_workshop(garment.workshop, by, fitter)
    ends_at = starts_at + (length or timedelta(minutes=garment.workshop.fitting_minutes))
    upcoming = garment.fittings.filter(cancelled_at__isnull=True, held_at__isnull=True, ends_at__gt=now)
    if known := upcoming.order_by("starts_at").first():
        raise NothingToTryOn(
            _("A fitting is booked already, %(time)s; move that one.")
            % {"time": _shown(garment, known.starts_at)}
        )
    _refuse_garment(garment, starts_at, now, by)
    chosen = _free_fitter(garment, Wish(starts_at, ends_at, fitter), now, by)
    with _one_at_a_time(garment, starts_at, now):
        fitting = Fitting.objects.create(
            workshop=garment.workshop,
            garment=garment,
            fitter=chosen,
            starts_at=starts_at,
            ends_at=ends_at,
            chosen_by_customer=by is None,
            created_at=now,
        )
    _note(fitting, "book fitting", f"Booked the fitting of {garment.title}", by, now, before=None)
    return fitting


@transaction.atomic
def move_fitting(
    *,
    fitting: Fitting,
    starts_at: datetime,
    now: datetime,
    by: Staff | None = None,
    fitter: Staff | None = None,
) -> Fitting:
    """Move a fitting to another time; it keeps its length, and its fitter where that one is free and no
    other is named.

    Raises: FittingClosed, and as ``book_fitting``.
    """
    garment = _locked(fitting.garment)
    require_same_workshop(garment.workshop, by, fitter)
    held = Fitting.objects.select_for_update(of=("self",)).select_related("fitter").get(pk=fitting.pk)
    _refuse_closed(held, garment, now, by)
    if by is None and held.sequence >= MOST_MOVES:
        raise FittingClosed(
            _("The fitting was moved %(times)s times already; %(please_call)s.")
            % {"times": MOST_MOVES, "please_call": _please_call(garment)}
        )
    if starts_at == held.starts_at and fitter in {None, held.fitter}:
        raise TimeNotOffered(_("The fitting is at that time already; choose another."), field="starts_at")
    ends_at = starts_at + (held.ends_at - held.starts_at)
    _refuse_garment(garment, starts_at, now, by)
    chosen = _free_fitter(garment, Wish(starts_at, ends_at, fitter, held), now, by)
    before = {"starts_at": held.starts_at, "fitter": held.fitter_id}
    held.starts_at, held.ends_at, held.fitter = starts_at, ends_at, chosen
    held.sequence += 1
    with _one_at_a_time(garment, starts_at, now):
        held.save(update_fields=["starts_at", "ends_at", "fitter", "sequence"])
    _note(held, "move fitting", f"Moved the fitting of {garment.title}", by, now, before=before)
    return held


@transaction.atomic
def cancel_fitting(*, fitting: Fitting, now: datetime, by: Staff | None = None) -> Fitting:
    """Cancel a fitting; its time is free again.

    Raises:
        FittingClosed: it was held or cancelled, or the customer is too late to do it alone.
    """
    garment = _locked(fitting.garment)
    require_same_workshop(garment.workshop, by)
    held = Fitting.objects.select_for_update().get(pk=fitting.pk)
    _refuse_closed(held, garment, now, by)
    held.cancelled_at = now
    held.sequence += 1
    held.save(update_fields=["cancelled_at", "sequence"])
    _note(
        held,
        "cancel fitting",
        f"Cancelled the fitting of {garment.title}",
        by,
        now,
        before={"starts_at": held.starts_at},
    )
    return held


@transaction.atomic
def release_fittings(*, workshop: Workshop, now: datetime) -> int:
    """Cancel the fittings to come of orders that were cancelled and garments that are delivered: their time
    is free again. Returns how many. Twice is once."""
    open_rows = Fitting.objects.filter(workshop=workshop, cancelled_at=None, held_at=None, starts_at__gt=now)
    gone = Q(garment__order__cancelled_at__isnull=False) | Q(garment__stage=Stage.DELIVERED)
    rows = open_rows.filter(gone).select_related("workshop", "garment").order_by("pk")
    released = list(rows.select_for_update(of=("self",)))
    for fitting in released:
        fitting.cancelled_at = now
        fitting.sequence += 1
        fitting.save(update_fields=["cancelled_at", "sequence"])
        write_log(
            workshop=workshop,
            by=None,
            action="release fitting",
            row=fitting,
            order_id=fitting.garment.order_id,
            summary=f"Gave back the fitting of {fitting.garment.title}: there is nothing left to try on",
            now=now,
            before={"starts_at": fitting.starts_at},
        )
    return len(released)


def _locked(garment: Garment) -> Garment:
    """Return the garment, its row held: two wishes for one garment wait for each other."""
    Garment.objects.select_for_update().get(pk=garment.pk)
    return Garment.objects.select_related("workshop", "order").get(pk=garment.pk)


def _refuse_garment(garment: Garment, starts_at: datetime, now: datetime, by: Staff | None) -> None:
    if garment.order.cancelled_at is not None:
        raise NothingToTryOn(_("The order of %(title)s was cancelled.") % {"title": garment.title})
    if garment.stage == Stage.DELIVERED:
        raise NothingToTryOn(
            _("%(title)s is delivered; there is nothing left to try on.") % {"title": garment.title}
        )
    if starts_at <= now:
        raise TimeNotOffered(_("That time has passed; choose a later one."), field="starts_at")
    if starts_at - now > FURTHEST:
        raise TimeNotOffered(
            _("That is more than two years away; choose an earlier time."), field="starts_at"
        )
    ready = ready_to_try(garment, now)
    if by is None and starts_at < ready:
        raise NothingToTryOn(
            _("%(title)s will not be ready to try on before %(time)s; choose a later time.")
            % {"title": garment.title, "time": _shown(garment, ready)},
            field="starts_at",
        )


def _free_fitter(garment: Garment, wish: Wish, now: datetime, by: Staff | None) -> Staff:
    """Return who fits then, their rows held.

    Two overlapping bookings write different rows; only a row that they share makes the second wait until the
    first is visible to it. That is the fitter's. All who might fit are held, in one order, so that no two
    wait for each other.
    """
    candidates = _candidates(garment, wish)
    list(Staff.objects.select_for_update().filter(pk__in=[person.pk for person in candidates]).order_by("pk"))
    there = [
        person for person in candidates if by is not None or is_there(person, wish.starts_at, wish.ends_at)
    ]
    if not there:
        raise TimeNotOffered(
            _("The workshop is closed then, or the fitter away; choose a time that is offered."),
            field="starts_at",
        )
    taken = Fitting.objects.filter(
        cancelled_at__isnull=True, starts_at__lt=wish.ends_at, ends_at__gt=wish.starts_at
    )
    if wish.moved is not None:
        taken = taken.exclude(pk=wish.moved.pk)
    busy = set(taken.values_list("fitter_id", flat=True))
    for person in there:
        if person.pk not in busy:
            return person
    named = f"{there[0].name} has another fitting then" if wish.fitter else _(TAKEN)
    raise _busy(garment, wish.starts_at, now, named)


def _candidates(garment: Garment, wish: Wish) -> list[Staff]:
    if wish.fitter is not None:
        return [wish.fitter]
    day = garment.workshop.day_of(wish.starts_at)
    usual = able(hours_of(garment.workshop, day, day).staff, SKILL)
    before = wish.moved.fitter_id if wish.moved else None
    return sorted(usual, key=lambda person: (person.pk != before, person.pk))


def _busy(garment: Garment, wished: datetime, now: datetime, words: str) -> FitterBusy:
    following = next_free_slot(garment, now, wished)
    if following is None:
        return FitterBusy(_("%(taken)s; no other time is free.") % {"taken": words}, next_at=None)
    said = {"taken": words, "time": _shown(garment, following.starts_at)}
    return FitterBusy(_("%(taken)s; the next free time is %(time)s.") % said, next_at=following.starts_at)


@contextmanager
def _one_at_a_time(garment: Garment, starts_at: datetime, now: datetime) -> Iterator[None]:
    """Turn the database's own refusal of two fittings at one start into ours."""
    try:
        with transaction.atomic():
            yield
    except IntegrityError:
        raise _busy(garment, starts_at, now, _(TAKEN)) from None


def _refuse_closed(fitting: Fitting, garment: Garment, now: datetime, by: Staff | None) -> None:
    if fitting.cancelled_at is not None:
        raise FittingClosed(_("That fitting was cancelled already; book a new one."))
    if fitting.held_at is not None:
        raise FittingClosed(_("That fitting was held already."))
    if by is None and not may_change_alone(fitting, garment.workshop, now):
        said = {"notice": notice_words(garment.workshop), "please_call": _please_call(garment)}
        raise FittingClosed(_("The fitting is less than %(notice)s away; %(please_call)s.") % said)


def _please_call(garment: Garment) -> str:
    said = {"workshop": garment.workshop.name, "phone": garment.workshop.phone}
    if said["phone"]:
        return _("please call %(workshop)s on %(phone)s") % said
    return _("please call %(workshop)s") % said


def _shown(garment: Garment, instant: datetime) -> str:
    at = instant.astimezone(garment.workshop.zone)
    return f"{speech.weekday(at.date())}, {speech.clock(at)}"


def _note(
    fitting: Fitting,
    action: str,
    summary: str,
    by: Staff | None,
    now: datetime,
    *,
    before: dict[str, object] | None,
) -> None:
    write_log(
        workshop=fitting.workshop,
        by=by,
        actor=CUSTOMER,
        action=action,
        row=fitting,
        order_id=fitting.garment.order_id,
        summary=summary,
        now=now,
        before=before,
        after={
            "starts_at": fitting.starts_at,
            "fitter": fitting.fitter_id,
            "cancelled_at": fitting.cancelled_at,
        },
    )
    ask_for_plan(fitting.garment.workshop, now)
