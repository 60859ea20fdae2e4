"""The customer's letter: quote, answer, fitting, progress, papers. Its secret address opens it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from functools import wraps
from typing import Any, Concatenate, ParamSpec, cast
from urllib.parse import urlencode

from django.contrib import messages
from django.db.models import Prefetch
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.utils.translation import get_language_from_request
from django.utils.translation import gettext as _

from costing.models import Quote, QuoteState
from costing.queries import line_words, quote_out, tax_words
from costing.speech import speaking
from workshop.counter import times
from workshop.counter.forms import AcceptForm, DeclineForm
from workshop.errors import REFUSALS, Refusal
from workshop.orders import queries, services
from workshop.orders.models import Garment, Order, PrivateLink, Stage
from workshop.orders.rules.stages import progress_words
from workshop.orders.services.answering import NewerQuote
from workshop.pages import refusals_on, refusals_told
from workshop.people.services import choose_reminders as choose
from workshop.planning import queries as planning_queries
from workshop.planning import services as planning_services
from workshop.planning.models import Fitting
from workshop.planning.rules.ics import MEDIA_TYPE as CALENDAR_TYPE
from workshop.planning.services.fittings import FitterBusy
from workshop.views import send_file

P = ParamSpec("P")
DECLINE_ID = "decline_%s"


def with_link(
    view: Callable[Concatenate[HttpRequest, PrivateLink, P], HttpResponseBase],
) -> Callable[Concatenate[HttpRequest, str, P], HttpResponseBase]:
    """Open the link of a secret. A guessed, expired or withdrawn one shows the same nothing."""

    @wraps(view)
    def opened(request: HttpRequest, secret: str, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
        link = queries.link_of(secret, timezone.now())
        if link is None:
            return _nothing(request)
        try:
            workshop = link.order.workshop
            with timezone.override(workshop.zone), speaking(workshop.language):
                return _private(view(request, link, *args, **kwargs))
        except Http404:  # what is not of this order is as little there as a guessed address
            return _nothing(request)

    return cast(Callable[Concatenate[HttpRequest, str, P], HttpResponseBase], opened)


def _nothing(request: HttpRequest) -> HttpResponseBase:
    """Said in the language that the browser asks for: nobody knows whose customer this is."""
    with speaking(get_language_from_request(request)):
        return _private(render(request, "counter/nothing.html", status=404))


def answers(
    view: Callable[Concatenate[HttpRequest, PrivateLink, P], HttpResponse],
) -> Callable[Concatenate[HttpRequest, PrivateLink, P], HttpResponse]:
    """Something that is sent. Who opens its address, after a fault say, is shown the letter."""

    @wraps(view)
    def sent(request: HttpRequest, link: PrivateLink, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        if request.method != "POST":
            return redirect("counter:order", link.secret)
        return view(request, link, *args, **kwargs)

    return cast(Callable[Concatenate[HttpRequest, PrivateLink, P], HttpResponse], sent)


def _private(response: HttpResponseBase) -> HttpResponseBase:
    """Nothing on the way keeps it, no search engine lists it, no other site learns its address."""
    response["Cache-Control"] = "private, no-store"
    response["X-Robots-Tag"] = "noindex, nofollow"
    # Not "no-referrer": with it a browser sends "Origin: null" along with a form, even to its own site (Fetch
    # standard, "append a request Origin header"), and the guard against forged forms refuses that.
    response["Referrer-Policy"] = "same-origin"
    return response


@with_link
def show_order(request: HttpRequest, link: PrivateLink) -> HttpResponse:
    return render(request, "counter/order.html", _letter(link, offered=request.GET.get("offer", "")))


@with_link
@answers
def accept(request: HttpRequest, link: PrivateLink) -> HttpResponse:
    form = AcceptForm(request.POST, quote=quote_out(link.order))
    if form.is_valid():
        try:
            with refusals_on(form, except_=(NewerQuote,)):
                services.accept_quote(link=link, now=timezone.now(), **form.answer())
        except NewerQuote as refusal:
            return _newer(request, link, refusal)
        if not form.errors:
            messages.success(request, _("Thank you. We have your answer; now choose a time to try it on."))
            return redirect("counter:order", link.secret)
    return render(request, "counter/order.html", _letter(link, accept_form=form))


@with_link
@answers
def decline(request: HttpRequest, link: PrivateLink) -> HttpResponse:
    form = DeclineForm(request.POST, auto_id=DECLINE_ID)
    if form.is_valid():
        try:
            with refusals_on(form, except_=(NewerQuote,)):
                services.decline_quote(link=link, now=timezone.now(), **form.cleaned_data)
        except NewerQuote as refusal:
            return _newer(request, link, refusal)
        if not form.errors:
            messages.success(request, _("We have noted that you decline the quote."))
            return redirect("counter:order", link.secret)
    return render(request, "counter/order.html", _letter(link, decline_form=form))


def _newer(request: HttpRequest, link: PrivateLink, refusal: NewerQuote) -> HttpResponse:
    """Back to the letter: a form that still names the old version could never be sent."""
    messages.error(request, str(refusal))
    return redirect("counter:order", link.secret)


@with_link
@answers
def book_fitting(request: HttpRequest, link: PrivateLink, garment_id: int) -> HttpResponse:
    """Book one of the times that are offered; where somebody was quicker the next one is."""
    garment, now = _garment(link, garment_id), timezone.now()

    def book() -> None:
        _refuse_unaccepted(garment)
        if times.upcoming(planning_queries.fittings_of(garment), now):
            raise Refusal(
                _("A fitting of %(title)s is booked already: move it, or give its time back.")
                % {"title": garment.title}
            )
        wished = times.chosen_time(request.POST.get("starts_at", ""), garment, now)
        planning_services.book_fitting(garment=garment, starts_at=wished, now=now)
        messages.success(request, _("Your fitting is booked. You can put it in your calendar below."))

    return _or_the_next(request, link, garment, book)


@with_link
@answers
def move_fitting(request: HttpRequest, link: PrivateLink, pk: int) -> HttpResponse:
    """Move a fitting to one of the times that are offered."""
    fitting, now = _fitting(link, pk), timezone.now()

    def move() -> None:
        wished = request.POST.get("starts_at", "")
        if wished == fitting.starts_at.isoformat():
            raise Refusal(_("Your fitting is at that time already."))
        chosen = times.chosen_time(wished, fitting.garment, now, moved=fitting)
        planning_services.move_fitting(fitting=fitting, starts_at=chosen, now=now)
        messages.success(request, _("Your fitting is moved. Please put the new time in your calendar."))

    return _or_the_next(request, link, fitting.garment, move)


def _refuse_unaccepted(garment: Garment) -> None:
    quote = quote_out(garment.order)
    if quote is None or quote.state != QuoteState.ACCEPTED:
        raise Refusal(_("Please accept the quote first; then choose a time."))


def _or_the_next(
    request: HttpRequest, link: PrivateLink, garment: Garment, deed: Callable[[], None]
) -> HttpResponse:
    """Book or move; a time that went meanwhile leads to the next one, chosen already."""
    letter = resolve_url("counter:order", link.secret)
    try:
        deed()
    except FitterBusy as refusal:
        messages.error(request, str(refusal))
        if refusal.next_at is not None:
            letter += f"?{urlencode({'offer': refusal.next_at.isoformat()})}#times-{garment.pk}"
    except REFUSALS as refusal:
        messages.error(request, str(refusal))
    return redirect(letter)


@with_link
@answers
def cancel_fitting(request: HttpRequest, link: PrivateLink, pk: int) -> HttpResponse:
    fitting = _fitting(link, pk)
    with refusals_told(request):
        planning_services.cancel_fitting(fitting=fitting, now=timezone.now())
        messages.success(request, _("Given back. Please choose another time."))
    return redirect("counter:order", link.secret)


@with_link
@answers
def choose_reminders(request: HttpRequest, link: PrivateLink) -> HttpResponse:
    """Want reminders of fittings, or none."""
    wanted = "wanted" in request.POST
    choose(client=link.order.client, reminded=wanted, now=timezone.now())
    words = _("We will remind you of your fittings.") if wanted else _("We will not remind you of fittings.")
    messages.success(request, words)
    return redirect("counter:order", link.secret)


@with_link
def fitting_calendar(request: HttpRequest, link: PrivateLink, pk: int) -> HttpResponse:
    """The calendar file of a fitting (RFC 5545)."""
    host = planning_queries.site_host()
    content = planning_queries.fitting_file(_fitting(link, pk), now=timezone.now(), host=host)
    response = HttpResponse(content, content_type=CALENDAR_TYPE)
    response["Content-Disposition"] = 'attachment; filename="fitting.ics"'
    return response


@with_link
def paper(request: HttpRequest, link: PrivateLink, pk: int) -> HttpResponseBase:
    """A paper of this order: quote, invoice, receipt, credit note."""
    row = queries.papers_of(link.order).filter(pk=pk).first()
    if row is None:
        raise Http404
    return send_file(row.document, save=False)


def _garment(link: PrivateLink, pk: int) -> Garment:
    garment = Garment.objects.select_related("workshop", "order").filter(order=link.order, pk=pk).first()
    if garment is None:
        raise Http404
    return garment


def _fitting(link: PrivateLink, pk: int) -> Fitting:
    fitting = planning_queries.fitting_of(link.order.workshop, pk)
    if fitting is None or fitting.garment.order_id != link.order_id:
        raise Http404
    return fitting


def _letter(link: PrivateLink, *, offered: str = "", **forms: Any) -> dict[str, Any]:
    """All that the letter says; ``forms`` stand in for the fresh ones where an answer had a fault.

    ``offered``: a fitting time that is chosen already.
    """
    order, workshop, now = link.order, link.order.workshop, timezone.now()
    quote = quote_out(order)
    expired = quote is not None and quote.valid_until_on < workshop.day_of(now)
    garments = _garments(link)
    fittings = {garment.pk: list(garment.fittings.all()) for garment in garments}
    accepted = quote is not None and quote.state == QuoteState.ACCEPTED and order.cancelled_at is None
    context = {
        "secret": link.secret,
        "order": order,
        "workshop": workshop,
        "please_call": _please_call(workshop.phone),
        "currency": workshop.currency,
        "quote": quote,
        "expired": expired,
        "readiness": _readiness(order, garments, workshop.day_of(now)),
        "garments": [] if quote is None else _shown_garments(quote, garments),
        "price_lines": [] if quote is None else price_lines(quote),
        "terms": "" if quote is None else quote.content["terms"],
        "quote_paper": _quote_paper(link, quote),
        "fittings": [
            times.shown_fitting(garment, fitting, now, offered)
            for garment in garments
            for fitting in times.upcoming(fittings[garment.pk], now)
        ],
        "fitting_choices": [
            times.times(garment, now, offered)
            for garment in garments
            if accepted and times.wants_fitting(garment, fittings[garment.pk], now)
        ],
        "balance": queries.balance(order) if accepted else None,
        # Theirs whatever became of the order: a new version of the quote does not take a receipt away.
        "papers": queries.papers_of(order, "invoice", "receipt", "credit-note"),
    }
    if quote is not None and quote.state == QuoteState.SENT and not expired and order.cancelled_at is None:
        context["accept_form"] = AcceptForm(initial={"version": quote.version}, quote=quote)
        context["decline_form"] = DeclineForm(initial={"version": quote.version}, auto_id=DECLINE_ID)
        context |= forms
    elif forms:
        # The answer came too late: what the form says of it is all that is left to show.
        refused = next(iter(forms.values()))
        context["refused"] = [str(fault) for faults in refused.errors.values() for fault in faults]
    return context


def _readiness(order: Order, garments: Sequence[Garment], today: date) -> str:
    """Whether all is with the customer (``delivered``), is late, or will be ready by its day (``due``)."""
    if garments and all(garment.stage == Stage.DELIVERED for garment in garments):
        return "delivered"
    return "late" if order.due_on < today else "due"


def _please_call(phone: str) -> str:
    return _("please call us on %(phone)s") % {"phone": phone} if phone else _("please call us")


def _shown_garments(quote: Quote, garments: list[Garment]) -> list[dict[str, Any]]:
    """The garments as the quote froze them, with the stage that each has reached."""
    stages = {garment.pk: garment.stage for garment in garments}
    return [
        {
            **row,
            "stage": stages.get(row["garment_id"], ""),
            "progress": _(progress_words(stages[row["garment_id"]])) if row["garment_id"] in stages else "",
        }
        for row in quote.content["garments"]
    ]


def price_lines(quote: Quote) -> list[dict[str, Any]]:
    """Garments without tax, then tax by group, then the rounding: they sum to what is paid."""
    content = quote.content
    words = line_words(content)
    lines = [
        {"words": said, "amount": Decimal(line["net"])}
        for said, line in zip(words, content["lines"], strict=True)
    ]
    lines += [
        {"words": tax_words(content["tax_label"], Decimal(group["rate"])), "amount": Decimal(group["tax"])}
        for group in content["groups"]
        if Decimal(group["tax"])
    ]
    if quote.rounding:
        lines.append({"words": _("Rounding"), "amount": quote.rounding})
    return lines


def _quote_paper(link: PrivateLink, quote: Quote | None) -> Any:
    if quote is None:
        return None
    return queries.papers_of(link.order, "quote").filter(source_id=quote.pk).first()


def _garments(link: PrivateLink) -> list[Garment]:
    """The order's garments with their fittings, however many, in two questions."""
    fittings = Fitting.objects.select_related("fitter").order_by("starts_at", "pk")
    rows = Garment.objects.filter(order=link.order).select_related("workshop", "order").order_by("position")
    return list(rows.prefetch_related(Prefetch("fittings", fittings)))
