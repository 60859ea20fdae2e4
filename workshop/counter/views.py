"""The customer's letter: quote, answer, fitting, progress, papers. Its secret address opens it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from functools import wraps
from typing import Any, Concatenate, ParamSpec, cast
from urllib.parse import urlsplit

from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.views.decorators.http import require_POST

from costing.models import Quote, QuoteState
from costing.queries import quote_out
from workshop.counter.forms import AcceptForm, DeclineForm
from workshop.orders import queries, services
from workshop.orders.models import Garment, PrivateLink, Stage
from workshop.orders.rules.stages import progress_words
from workshop.pages import refusals_on, refusals_told
from workshop.planning import queries as planning_queries
from workshop.planning import services as planning_services
from workshop.planning.models import Fitting
from workshop.views import send_file

P = ParamSpec("P")
TIMES_SHOWN = 24


def with_link(
    view: Callable[Concatenate[HttpRequest, PrivateLink, P], HttpResponseBase],
) -> Callable[Concatenate[HttpRequest, str, P], HttpResponseBase]:
    """Open the link of a secret. A guessed, expired or withdrawn one shows the same nothing."""

    @wraps(view)
    def opened(request: HttpRequest, secret: str, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
        link = queries.link_of(secret, timezone.now())
        if link is None:
            return _private(render(request, "counter/nothing.html", status=404))
        with timezone.override(link.order.workshop.zone):
            return _private(view(request, link, *args, **kwargs))

    return cast(Callable[Concatenate[HttpRequest, str, P], HttpResponseBase], opened)


def _private(response: HttpResponseBase) -> HttpResponseBase:
    """Nothing on the way keeps it, no search engine lists it, no other site learns its address."""
    response["Cache-Control"] = "private, no-store"
    response["X-Robots-Tag"] = "noindex, nofollow"
    response["Referrer-Policy"] = "no-referrer" if response.get("Location") is None else "same-origin"
    return response


@with_link
def show_order(request: HttpRequest, link: PrivateLink) -> HttpResponse:
    return render(request, "counter/order.html", _letter(link))


@with_link
@require_POST
def accept(request: HttpRequest, link: PrivateLink) -> HttpResponse:
    form = AcceptForm(request.POST)
    if form.is_valid():
        with refusals_on(form):
            services.accept_quote(link=link, now=timezone.now(), **form.cleaned_data)
        if not form.errors:
            messages.success(request, "Thank you. We have your answer; now choose a time to try it on.")
            return redirect("counter:order", link.secret)
    return render(request, "counter/order.html", _letter(link, accept_form=form))


@with_link
@require_POST
def decline(request: HttpRequest, link: PrivateLink) -> HttpResponse:
    form = DeclineForm(request.POST)
    if form.is_valid():
        with refusals_on(form):
            services.decline_quote(link=link, now=timezone.now(), **form.cleaned_data)
        if not form.errors:
            messages.success(request, "We have noted that you decline the quote.")
            return redirect("counter:order", link.secret)
    return render(request, "counter/order.html", _letter(link, decline_form=form))


@with_link
@require_POST
def book_fitting(request: HttpRequest, link: PrivateLink, garment_id: int) -> HttpResponse:
    """Book one of the times that are offered; one that went meanwhile is said to be gone."""
    garment = _garment(link, garment_id)
    starts_at = _instant(request.POST.get("starts_at", ""))
    if starts_at is None:
        messages.error(request, "Choose one of the times, please.")
        return redirect("counter:order", link.secret)
    with refusals_told(request):
        planning_services.book_fitting(garment=garment, starts_at=starts_at, now=timezone.now())
        messages.success(request, "Your fitting is booked. You can put it in your calendar below.")
    return redirect("counter:order", link.secret)


def _instant(text: str) -> datetime | None:
    try:
        moment = parse_datetime(text[:40])
    except ValueError:
        return None
    return None if moment is None or timezone.is_naive(moment) else moment


@with_link
@require_POST
def cancel_fitting(request: HttpRequest, link: PrivateLink, pk: int) -> HttpResponse:
    fitting = _fitting(link, pk)
    with refusals_told(request):
        planning_services.cancel_fitting(fitting=fitting, now=timezone.now())
        messages.success(request, "Given back. Please choose another time.")
    return redirect("counter:order", link.secret)


@with_link
def fitting_calendar(request: HttpRequest, link: PrivateLink, pk: int) -> HttpResponse:
    """The calendar file of a fitting (RFC 5545)."""
    host = urlsplit(settings.PUBLIC_ADDRESS).hostname or "localhost"
    content = planning_queries.fitting_file(_fitting(link, pk), now=timezone.now(), host=host)
    response = HttpResponse(content, content_type="text/calendar; charset=utf-8")
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


def _letter(link: PrivateLink, **forms: Any) -> dict[str, Any]:
    """All that the letter says; ``forms`` stand in for the fresh ones where an answer had a fault."""
    order, workshop, now = link.order, link.order.workshop, timezone.now()
    quote = quote_out(order)
    expired = quote is not None and quote.valid_until_on < workshop.day_of(now)
    garments = list(
        Garment.objects.filter(order=order).select_related("workshop", "order").order_by("position")
    )
    accepted = quote is not None and quote.state == QuoteState.ACCEPTED and order.cancelled_at is None
    context = {
        "secret": link.secret,
        "order": order,
        "workshop": workshop,
        "currency": workshop.currency,
        "quote": quote,
        "expired": expired,
        "garments": [] if quote is None else _shown_garments(quote, garments),
        "price_lines": [] if quote is None else price_lines(quote),
        "terms": "" if quote is None else quote.content["terms"],
        "quote_paper": _quote_paper(link, quote),
        "fittings": [_shown_fitting(fitting, now) for g in garments for fitting in _open_fittings(g)],
        "fitting_choices": [_times(g, now) for g in garments if accepted and _wants_fitting(g)],
        "balance": queries.balance(order) if accepted else None,
        "papers": queries.papers_of(order, "invoice", "receipt", "credit-note") if accepted else (),
    }
    if quote is not None and quote.state == QuoteState.SENT and not expired and order.cancelled_at is None:
        context["accept_form"] = AcceptForm(initial={"version": quote.version})
        context["decline_form"] = DeclineForm(auto_id="decline_%s")
        context |= forms
    elif forms:
        # The answer came too late: what the form says of it is all that is left to show.
        refused = next(iter(forms.values()))
        context["refused"] = [str(fault) for faults in refused.errors.values() for fault in faults]
    return context


def _shown_garments(quote: Quote, garments: list[Garment]) -> list[dict[str, Any]]:
    """The garments as the quote froze them, with the stage that each has reached."""
    stages = {garment.pk: garment.stage for garment in garments}
    return [
        {
            **row,
            "stage": stages.get(row["garment_id"], ""),
            "progress": progress_words(stages[row["garment_id"]]) if row["garment_id"] in stages else "",
        }
        for row in quote.content["garments"]
    ]


def price_lines(quote: Quote) -> list[dict[str, Any]]:
    """Garments without tax, then tax by group, then the rounding: they sum to what is paid."""
    content = quote.content
    lines = [{"words": line["words"], "amount": Decimal(line["net"])} for line in content["lines"]]
    lines += [
        {"words": f"{content['tax_label']} {group['rate']} %", "amount": Decimal(group["tax"])}
        for group in content["groups"]
        if Decimal(group["tax"])
    ]
    if quote.rounding:
        lines.append({"words": "Rounding", "amount": quote.rounding})
    return lines


def _quote_paper(link: PrivateLink, quote: Quote | None) -> Any:
    if quote is None:
        return None
    return queries.papers_of(link.order, "quote").filter(source_id=quote.pk).first()


def _open_fittings(garment: Garment) -> list[Fitting]:
    return [
        row
        for row in planning_queries.fittings_of(garment)
        if row.held_at is None and row.cancelled_at is None
    ]


def _shown_fitting(fitting: Fitting, now: datetime) -> dict[str, Any]:
    return {
        "pk": fitting.pk,
        "title": fitting.garment.title,
        "starts_at": fitting.starts_at,
        "ends_at": fitting.ends_at,
        "fitter": fitting.fitter.name,
        "can_change": fitting.starts_at > now,
    }


def _wants_fitting(garment: Garment) -> bool:
    """Not delivered, not found to fit, and no fitting booked."""
    if garment.stage in {Stage.DELIVER, Stage.DELIVERED}:
        return False
    return not _open_fittings(garment)


def _times(garment: Garment, now: datetime) -> dict[str, Any]:
    slots = planning_queries.free_fitting_slots(garment, now, limit=TIMES_SHOWN)
    return {
        "garment_id": garment.pk,
        "title": garment.title,
        "slots": [{"value": slot.starts_at.isoformat(), "starts_at": slot.starts_at} for slot in slots],
    }
