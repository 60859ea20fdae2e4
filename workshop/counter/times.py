"""When the customer comes: the fittings that are booked, and the times to choose from."""

from __future__ import annotations

from contextlib import suppress
from datetime import date, datetime
from typing import Any

from django.utils.translation import gettext as _

from workshop.errors import Refusal
from workshop.orders.models import Garment, Stage
from workshop.people.models import Workshop
from workshop.planning import queries
from workshop.planning.models import Fitting, FittingOutcome
from workshop.planning.queries import FittingSlot
from workshop.planning.services.fittings import MOST_MOVES, FitterBusy

DAYS_OPEN, DAYS_SHOWN = 3, 12  # of free times: in sight at once, and in all


def upcoming(fittings: list[Fitting], now: datetime) -> list[Fitting]:
    """Those that are still to be held."""
    return [
        fitting
        for fitting in fittings
        if fitting.held_at is None and fitting.cancelled_at is None and fitting.ends_at > now
    ]


def wants_fitting(garment: Garment, fittings: list[Fitting], now: datetime) -> bool:
    """Not delivered, not found to fit, and no fitting booked."""
    if garment.stage in {Stage.DELIVER, Stage.DELIVERED} or upcoming(fittings, now):
        return False
    held = [fitting for fitting in fittings if fitting.held_at is not None]
    return not (garment.stage == Stage.FIT and held and held[-1].outcome == FittingOutcome.FITS)


def shown_fitting(garment: Garment, fitting: Fitting, now: datetime, offered: str) -> dict[str, Any]:
    """A fitting as the letter shows it, with the times to which it may be moved."""
    can_change = queries.may_change_alone(fitting, garment.workshop, now)
    can_move = can_change and fitting.sequence < MOST_MOVES
    return {
        "pk": fitting.pk,
        "title": garment.title,
        "starts_at": fitting.starts_at,
        "ends_at": fitting.ends_at,
        "fitter": fitting.fitter.name,
        "can_change": can_change,
        "moved_often": can_change and not can_move,
        "notice": queries.notice_words(garment.workshop),
        "times": times(garment, now, offered, moved=fitting) if can_move else None,
    }


def times(
    garment: Garment, now: datetime, offered: str = "", *, moved: Fitting | None = None
) -> dict[str, Any]:
    """The free times of the next days that have any; the first few days are in sight at once.

    ``offered``: the time that is chosen already, as the page would send it; the next one after a time that
    somebody else took.
    """
    slots = queries.free_fitting_slots(garment, now, limit=queries.EVERY_TIME, moved=moved)
    days = _by_day(garment.workshop, slots, offered)[:DAYS_SHOWN]
    return {
        "garment_id": garment.pk,
        "title": garment.title,
        "days": days[:DAYS_OPEN],
        "later": days[DAYS_OPEN:],
        "chosen": _has_chosen(days),
        "later_open": _has_chosen(days[DAYS_OPEN:]),
    }


def _has_chosen(days: list[dict[str, Any]]) -> bool:
    return any(time["chosen"] for day in days for time in day["times"])


def chosen_time(wished: str, garment: Garment, now: datetime, *, moved: Fitting | None = None) -> datetime:
    """Return the time that was chosen, as the page sent it.

    Raises: FitterBusy where it is not free, with the next that is; Refusal where none was chosen.
    """
    if not wished:
        raise Refusal(_("Choose one of the times, please."), field="starts_at")
    slots = queries.free_fitting_slots(garment, now, limit=queries.EVERY_TIME, moved=moved)
    for slot in slots:
        if slot.starts_at.isoformat() == wished:
            return slot.starts_at
    following = _following(wished, slots)
    taken = _("That time is no longer free.")
    words = _("The next one is chosen below.") if following else _("No other time is free; please call us.")
    raise FitterBusy(f"{taken} {words}", next_at=following)


def _following(wished: str, slots: list[FittingSlot]) -> datetime | None:
    """The first free time from the wished one on; where none is later, or it cannot be read, the first."""
    starts = [slot.starts_at for slot in slots]
    with suppress(ValueError, TypeError, OverflowError):
        later = [start for start in starts if start >= datetime.fromisoformat(wished)]
        starts = later or starts
    return next(iter(starts), None)


def _by_day(workshop: Workshop, slots: list[FittingSlot], offered: str) -> list[dict[str, Any]]:
    found: dict[date, list[dict[str, Any]]] = {}
    for slot in slots:
        value = slot.starts_at.isoformat()
        time = {"value": value, "starts_at": slot.starts_at, "chosen": value == offered}
        found.setdefault(workshop.day_of(slot.starts_at), []).append(time)
    return [{"on": day, "times": times} for day, times in found.items()]
