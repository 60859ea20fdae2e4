"""The rail: garments under the day on which they are due, what waits for the owner, hours booked."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.text import capfirst

from costing.models import Cloth, Quote, QuoteState
from workshop.desk.views.buying import day_words
from workshop.orders import queries
from workshop.orders.models import Garment, Letter, Order
from workshop.pages import StaffRequest, owner_page
from workshop.people import queries as people_queries
from workshop.people.models import Workshop
from workshop.planning import queries as planning_queries
from workshop.planning.queries import GarmentDue

DAYS_SHOWN_ONE_BY_ONE = 7
FARTHEST = 400
FEW_DAYS = 3


@dataclass(frozen=True)
class Ticket:
    """A garment on the rail."""

    garment_id: int
    order_number: int
    title: str
    wearer: str
    stage: str
    due_on: date
    late: bool
    days_in_hand: int | None
    days_in_hand_words: str
    next_need: str
    risk_words: str
    turned_today: bool
    draft_id: int | None  # of the draft that holds; its drawing hangs on the ticket
    cloth: Cloth | None  # of its shell, where there is a picture of it

    @property
    def colour(self) -> str:
        """The word class of the days in hand; the words say the same."""
        if self.stage == "delivered" or self.days_in_hand is None:
            return ""
        return "bad" if self.late else "look" if self.days_in_hand < FEW_DAYS else "good"


@dataclass
class RailDay:
    title: str
    note: str
    tickets: list[Ticket] = field(default_factory=list)


@owner_page
def show_rail(request: StaffRequest) -> HttpResponse:
    now = timezone.now()
    workshop = request.workshop
    due = planning_queries.due_by(workshop, now, days_ahead=FARTHEST)
    tickets = tickets_for(due)
    context = {
        "area": "rail",
        "days": _days(tickets, workshop.day_of(now)),
        "due_this_week": sum(1 for ticket in tickets if _this_week(ticket, workshop.day_of(now))),
        "waiting": _waiting(workshop, now, tickets),
        "hours": planning_queries.hours_booked(
            workshop, now, tentative=planning_queries.tentative_garments(workshop, now)
        ),
    }
    return render(request, "desk/rail.html", context)


def tickets_for(due: list[GarmentDue]) -> list[Ticket]:
    """The tickets of garments, in the order in which they come."""
    # The rows of ``due`` bring only what is open and to come; what is next depends on what was done, too.
    whole = Garment.objects.select_related("workshop", "order__workshop", "wearer")
    garments = whole.in_bulk([row.garment.pk for row in due])
    needs = queries.next_needs(list(garments.values()))
    drafts = queries.draft_ids(garments)
    cloths = queries.pictured_shells(garments)
    rows = {row.garment.pk: row for row in due}
    return [_ticket(row, garments[pk], needs[pk], drafts.get(pk), cloths.get(pk)) for pk, row in rows.items()]


def tickets_of_order(order: Order, now: Any) -> list[Ticket]:
    """The tickets of an order's garments, delivered ones included."""
    rows = Garment.objects.filter(order=order).select_related("workshop", "order__client", "wearer")
    due = [planning_queries.days_in_hand(garment, now) for garment in rows.order_by("position")]
    return tickets_for(due)


def _ticket(
    row: GarmentDue, garment: Garment, need: str, draft_id: int | None, cloth: Cloth | None
) -> Ticket:
    today = garment.workshop.day_of(timezone.now())
    past = row.due_on < today
    # What is past its day is late: no risk any more.
    risk = row.risk if garment.stage != "delivered" and not past else None
    behind = row.days_in_hand is not None and row.days_in_hand < 0
    late = garment.stage != "delivered" and (past or behind)
    return Ticket(
        garment_id=garment.pk,
        order_number=garment.order.number,
        title=garment.title,
        wearer=garment.wearer.name,
        stage=garment.stage,
        due_on=row.due_on,
        late=late,
        days_in_hand=row.days_in_hand,
        days_in_hand_words=_in_hand(garment, row.days_in_hand),
        next_need=need,
        risk_words=row.risk_words if risk else "",
        turned_today=risk is not None and risk.turned_on == today,
        draft_id=draft_id,
        cloth=cloth,
    )


def _in_hand(garment: Garment, days: int | None) -> str:
    if garment.stage == "delivered":
        return "delivered"
    if days is None:
        return "no plan yet"
    if days < 0:
        return f"late by {-days} working day{'s' if days != -1 else ''}"
    return f"{days} working day{'s' if days != 1 else ''} in hand"


def _this_week(ticket: Ticket, today: date) -> bool:
    return ticket.due_on <= today + timedelta(days=6 - today.weekday())


def _days(tickets: list[Ticket], today: date) -> list[RailDay]:
    """Past days together, the coming week day by day, the rest by week."""
    found: dict[tuple[int, date], RailDay] = {}
    for ticket in tickets:
        key, title, note = _place(ticket.due_on, today)
        found.setdefault(key, RailDay(title, note)).tickets.append(ticket)
    return [found[key] for key in sorted(found)]


def _place(due_on: date, today: date) -> tuple[tuple[int, date], str, str]:
    ahead = (due_on - today).days
    if ahead < 0:
        return (0, today), "Past its day", ""
    if ahead < DAYS_SHOWN_ONE_BY_ONE:
        title = {0: "Today", 1: "Tomorrow"}.get(ahead, f"{due_on:%A}")
        return (1, due_on), title, f"{due_on.day} {due_on:%B}"
    monday = due_on - timedelta(days=due_on.weekday())
    return (2, monday), f"Week of {monday.day} {monday:%B}", ""


@dataclass(frozen=True)
class Waiting:
    words: str
    address: str


def _waiting(workshop: Workshop, now: Any, tickets: list[Ticket]) -> list[Waiting]:
    """What only the owner can do next, the most pressing first."""
    found = [_waiting_quote(quote) for quote in queries.waiting_for_owner(workshop, now)]
    found += [_waiting_letter(letter) for letter in queries.doubtful_letters(workshop)]
    today = workshop.day_of(now)
    for parcel in queries.late_parcels(workshop, today):
        words = f"Ask after {parcel.cloth.name}: it was expected {day_words(parcel.expected_on)}"
        found.append(Waiting(words, reverse("desk:buying")))
    for fitting in planning_queries.fittings_to_hold(workshop, now):
        words = f"Say how the fitting of {fitting.garment.title} went"
        found.append(Waiting(words, reverse("desk:fitting", args=[fitting.pk])))
    for wearer in people_queries.wearers_to_erase(workshop, today):
        words = f"Erase the measurements of {wearer.name}: they may be kept no longer"
        found.append(Waiting(words, reverse("desk:wearer", args=[wearer.pk])))
    found += [_waiting_turned(ticket) for ticket in tickets if ticket.turned_today]
    buying = [ticket for ticket in tickets if ticket.next_need.startswith("Buy cloth")]
    found += [
        Waiting(
            capfirst(f"{ticket.title}: {ticket.next_need}"), reverse("desk:garment", args=[ticket.garment_id])
        )
        for ticket in buying
    ]
    return found


def _waiting_turned(ticket: Ticket) -> Waiting:
    words = (
        f"{ticket.title} (order {ticket.order_number}, due {ticket.due_on.day} {ticket.due_on:%B}) turned "
        f"today: {ticket.risk_words}"
    )
    return Waiting(capfirst(words), reverse("desk:garment", args=[ticket.garment_id]))


def _waiting_letter(letter: Letter) -> Waiting:
    words = f"Say whether the letter of order {letter.order.number} reached {letter.order.client.name}"
    return Waiting(words, reverse("desk:order", args=[letter.order.number]))


def _waiting_quote(quote: Quote) -> Waiting:
    who = quote.order.client.name
    words = {
        QuoteState.OPEN: f"Send the quote to {who} (order {quote.order.number})",
        QuoteState.DECLINED: f"{who} declined the quote of order {quote.order.number}",
    }.get(QuoteState(quote.state), f"The quote of order {quote.order.number} ran out without an answer")
    return Waiting(words, reverse("desk:order", args=[quote.order.number]))
