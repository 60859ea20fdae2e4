"""Quotes: prepared, looked at, sent."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_POST

from costing import queries as costing_queries
from costing.models import Quote, QuoteState
from costing.rules.options import options_in
from workshop.desk.forms.offering import OfferForm
from workshop.desk.views.orders import find_order
from workshop.errors import Refusal
from workshop.orders import queries, services
from workshop.pages import StaffRequest, faults_in, owner_page, press_once, refusals_told
from workshop.planning import services as planning


@owner_page
@require_POST
def prepare_quote(request: StaffRequest, number: int) -> HttpResponse:
    order = find_order(request, number)
    made: list[int] = []
    with refusals_told(request):
        made.append(services.prepare_quote(order=order, by=request.staff, now=timezone.now()).pk)
    return redirect("desk:quote", made[0]) if made else redirect("desk:order", order.number)


@owner_page
def show_quote(request: StaffRequest, pk: int) -> HttpResponse:
    quote = _quote(request, pk)
    link = queries.current_link(quote.order)
    context = {
        "area": "orders",
        "quote": quote,
        "order": quote.order,
        "content": quote.content,
        "link_address": queries.link_address(link) if link else "",
        "options": options_in(quote.content),
        "offer_form": _offer_form(request, quote) if quote.state == QuoteState.OPEN else None,
        "expired": quote.state == QuoteState.SENT
        and quote.valid_until_on < request.workshop.day_of(timezone.now()),
        "agreed_before": quote.state == QuoteState.SENT
        and costing_queries.agreed_quotes([quote.order_id]).get(quote.order_id),
        **_promise(quote),
        "papers": [paper for paper in queries.papers_of(quote.order, "quote") if paper.source_id == quote.pk],
    }
    return render(request, "desk/quote.html", context)


def _promise(quote: Quote) -> dict[str, Any]:
    """The day that can be promised while the quote may still be answered; or why there is none."""
    if quote.state not in {QuoteState.OPEN, QuoteState.SENT}:
        return {}
    try:
        return {"promise": planning.promise_order(order=quote.order, now=timezone.now())}
    except Refusal as refusal:
        return {"no_promise": str(refusal)}


def _offer_form(request: StaffRequest, quote: Quote, data: Any = None) -> OfferForm:
    return OfferForm(
        data,
        garments=list(
            quote.order.garments.select_related("workshop", "order", "wearer").order_by("position")
        ),
        cloths=list(costing_queries.cloths(request.workshop)),
    )


@owner_page
@require_POST
def offer_alternative(request: StaffRequest, pk: int) -> HttpResponse:
    """Offer another cloth or lining in a quote that is not sent yet."""
    quote = _quote(request, pk)
    form = _offer_form(request, quote, request.POST)
    if form.is_valid():
        with refusals_told(request):
            services.offer_alternative(quote=quote, by=request.staff, now=timezone.now(), **form.wanted())
            messages.success(request, "The customer can choose that, too.")
    else:
        messages.error(request, faults_in(form))
    return redirect("desk:quote", quote.pk)


@owner_page
@require_POST
def drop_option(request: StaffRequest, pk: int) -> HttpResponse:
    quote = _quote(request, pk)
    typed = request.POST.get("place", "")
    place = int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 4 else -1
    with refusals_told(request):
        services.drop_option(quote=quote, place=place, by=request.staff, now=timezone.now())
        messages.success(request, "That choice is taken out.")
    return redirect("desk:quote", quote.pk)


def _quote(request: StaffRequest, pk: int) -> Quote:
    quote = costing_queries.quote_of(request.workshop, pk)
    if quote is None:
        raise Http404
    return quote


@owner_page
@require_POST
def send_quote(request: StaffRequest, pk: int) -> HttpResponse:
    quote = _quote(request, pk)
    return press_once(
        request, request.workshop, partial(_send_quote, request, quote), "desk:order", quote.order.number
    )


def _send_quote(request: StaffRequest, quote: Quote) -> str:
    services.send_quote(quote=quote, by=request.staff, now=timezone.now())
    who = quote.order.client
    told = (
        f"The letter goes to {who.email}."
        if who.email
        else f"{who.name} left no e-mail: pass on the link below."
    )
    messages.success(request, f"Version {quote.version} is sent and frozen. {told}")
    return resolve_url("desk:order", quote.order.number)


@owner_page
@require_POST
def withdraw_quote(request: StaffRequest, pk: int) -> HttpResponse:
    quote = _quote(request, pk)
    with refusals_told(request):
        services.withdraw_quote(quote=quote, by=request.staff, now=timezone.now())
        messages.success(request, f"Version {quote.version} is taken back: nobody can answer it any more.")
    return redirect("desk:quote", quote.pk)


@owner_page
@require_POST
def settle_letter(request: StaffRequest, pk: int) -> HttpResponse:
    """The owner says whether a letter in doubt arrived, or has it sent again."""
    letter = get_object_or_404(queries.doubtful_letters(request.workshop), pk=pk)
    arrived = "arrived" in request.POST
    with refusals_told(request):
        services.settle_letter(letter=letter, arrived=arrived, by=request.staff, now=timezone.now())
        messages.success(request, "Noted." if arrived else "The letter goes out again.")
    return redirect("desk:order", letter.order.number)


@owner_page
@require_POST
def withdraw_link(request: StaffRequest, number: int) -> HttpResponse:
    order = find_order(request, number)
    link = queries.current_link(order)
    if link is not None:
        with refusals_told(request):
            services.withdraw_link(link=link, by=request.staff, now=timezone.now())
            messages.success(request, "The link is withdrawn; it shows nothing any more.")
    return redirect("desk:order", order.number)
