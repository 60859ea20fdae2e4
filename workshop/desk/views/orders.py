"""Taking orders, and an order's own page."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_POST

from costing.queries import quotes_of
from workshop.desk.editing import VersionForm, edits_on
from workshop.desk.forms.garments import ClothForm, StyleForm, WearerForm
from workshop.desk.forms.orders import EditOrderForm, TakeOrderForm
from workshop.desk.ledger import ledger_of
from workshop.desk.views.garments import find_garment
from workshop.desk.views.picker import picking
from workshop.desk.views.rail import tickets_of_order
from workshop.orders import queries, services
from workshop.orders.models import Garment, Order
from workshop.orders.services import GarmentWish
from workshop.pages import StaffRequest, all_valid, once, owner_page, refusals_on, refusals_told, searched
from workshop.people import queries as people_queries
from workshop.people import services as people_services
from workshop.people.models import Client, Wearer


def wants_to_store(request: StaffRequest) -> bool:
    """Whether a form was sent to be stored, and not only to look at the choices of another style."""
    return request.method == "POST" and "look" not in request.POST


def find_order(request: StaffRequest, number: int) -> Order:
    order = queries.order_of(request.workshop, number)
    if order is None:
        raise Http404
    return order


@owner_page
def show_orders(request: StaffRequest) -> HttpResponse:
    search = searched(request)
    found = queries.orders(request.workshop, search=search)
    return render(request, "desk/orders.html", {"area": "orders", "orders": found, "search": search})


@owner_page
def show_order(request: StaffRequest, number: int) -> HttpResponse:
    order = find_order(request, number)
    link = queries.current_link(order)
    papers = list(queries.papers_of(order))
    context: dict[str, Any] = {
        "area": "orders",
        "order": order,
        "tickets": tickets_of_order(order, timezone.now()),
        "quotes": quotes_of(order),
        "today": request.workshop.day_of(timezone.now()),
        "link": link,
        "link_address": queries.link_address(link) if link else "",
        "balance": queries.balance(order),
        "currency": request.workshop.currency,
        "ledger": ledger_of(order, papers),
        "papers": papers,
        "doubtful_letters": queries.doubtful_letters(request.workshop, order),
        "paper_jobs": queries.papers_under_way(order),
        "log": people_queries.log_of(request.workshop, order_id=order.pk)[:40],
    }
    return render(request, "desk/order.html", context)


@owner_page
def take_order(request: StaffRequest) -> HttpResponse:
    """Client, occasion, day, and the first garment: all of it is stored, or nothing."""
    workshop = request.workshop
    now = timezone.now()
    data = request.POST or None
    order_form = TakeOrderForm(data, workshop=workshop, today=workshop.day_of(now))
    chosen = order_form.fields["client"].queryset.filter(pk=_number(request.POST.get("client"))).first()  # type: ignore[attr-defined]  # a ModelChoiceField
    wearer_form = WearerForm(data, client=chosen)
    style_form = StyleForm(data, workshop=workshop)
    cloth_form = ClothForm(data, workshop=workshop)
    if wants_to_store(request) and all_valid(order_form, wearer_form, style_form, cloth_form):
        with refusals_on(order_form):
            deed = partial(_store_order, request, order_form, wearer_form, style_form, cloth_form)
            return once(request, workshop, deed)
    context = {
        "area": "orders",
        "order_form": order_form,
        "wearer_form": wearer_form,
        "style_form": style_form,
        "cloth_form": cloth_form,
        **picking(request),
    }
    return render(request, "desk/take_order.html", context)


def _number(text: str | None) -> int | None:
    return int(text) if text and text.isascii() and text.isdigit() and len(text) < 15 else None


def _store_order(
    request: StaffRequest,
    order_form: TakeOrderForm,
    wearer_form: WearerForm,
    style_form: StyleForm,
    cloth_form: ClothForm,
) -> str:
    data = order_form.cleaned_data
    now = timezone.now()
    client = data["client"] or people_services.create_client(
        workshop=request.workshop,
        name=data["client_name"],
        email=data["client_email"],
        phone=data["client_phone"],
        address=data["client_address"],
        by=request.staff,
        now=now,
    )
    wearer = _store_wearer(request, client, wearer_form)
    order = services.take_order(
        workshop=request.workshop,
        client=client,
        occasion=data["occasion"],
        due_on=data["due_on"],
        note=data["note"],
        garments=[_wish(wearer, style_form, cloth_form)],
        by=request.staff,
        now=now,
    )
    messages.success(request, f"Order {order.number} is taken. Next: measure {client.name}'s wearer.")
    return resolve_url("desk:order", order.number)


def _store_wearer(request: StaffRequest, client: Client, form: WearerForm) -> Wearer:
    data = form.cleaned_data
    if data["wearer"] is not None:
        wearer: Wearer = data["wearer"]
        return wearer
    return people_services.create_wearer(
        client=client,
        name=data["wearer_name"],
        born_on=data["born_on"],
        is_minor=data["is_minor"],
        guardian=data["guardian"],
        consent_by=data["consent_by"],
        consent_on=data["consent_on"],
        by=request.staff,
        now=timezone.now(),
    )


def _wish(wearer: Wearer, style_form: StyleForm, cloth_form: ClothForm) -> GarmentWish:
    data = style_form.cleaned_data
    return GarmentWish(
        wearer=wearer,
        title=data["title"],
        style=data["style"],
        choices=data["choices"],
        cloths=cloth_form.cloths(),
    )


@owner_page
def edit_order(request: StaffRequest, number: int) -> HttpResponse:
    """Change occasion, day or note; a second editor is told and keeps what was typed."""
    order = find_order(request, number)
    form = EditOrderForm.opened_on(order, request.POST)
    if request.method == "POST" and form.is_valid():
        with edits_on(form):
            services.edit_order(order=order, by=request.staff, now=timezone.now(), **form.cleaned_data)
            messages.success(request, "Saved.")
            return redirect("desk:order", order.number)
    context = {"area": "orders", "order": order, "form": form, "edited_meanwhile": form.meanwhile}
    return render(request, "desk/edit_order.html", context)


@owner_page
def add_garment(request: StaffRequest, number: int) -> HttpResponse:
    order = find_order(request, number)
    data = request.POST or None
    wearer_form = WearerForm(data, client=order.client)
    style_form = StyleForm(data, workshop=request.workshop)
    cloth_form = ClothForm(data, workshop=request.workshop)
    if wants_to_store(request) and all_valid(wearer_form, style_form, cloth_form):
        with refusals_on(style_form):
            deed = partial(_store_garment, request, order, wearer_form, style_form, cloth_form)
            return once(request, request.workshop, deed)
    context = {
        "area": "orders",
        "order": order,
        "heading": f"Add a garment to order {order.number}",
        "deed": "Add the garment",
        "wearer_form": wearer_form,
        "style_form": style_form,
        "cloth_form": cloth_form,
        **picking(request),
    }
    return render(request, "desk/garment_form.html", context)


def _store_garment(
    request: StaffRequest,
    order: Order,
    wearer_form: WearerForm,
    style_form: StyleForm,
    cloth_form: ClothForm,
) -> str:
    wish = _wish(_store_wearer(request, order.client, wearer_form), style_form, cloth_form)
    garment = services.add_garment(order=order, wish=wish, by=request.staff, now=timezone.now())
    messages.success(request, f"{garment.title} is added.")
    return resolve_url("desk:garment", garment.pk)


@owner_page
def change_garment(request: StaffRequest, pk: int) -> HttpResponse:
    """Change style, choices or cloth; what was drafted from the old ones is superseded."""
    garment = find_garment(request, pk)
    data = request.POST or None
    version_form = VersionForm(data, initial={"expected_version": garment.version})
    style_form = StyleForm(
        data,
        workshop=request.workshop,
        held=garment.choices,
        initial={"title": garment.title, "style": garment.style},
    )
    cloth_form = ClothForm(data, workshop=request.workshop, initial=_cloth_initial(garment))
    if wants_to_store(request) and all_valid(version_form, style_form, cloth_form):
        with edits_on(version_form, style_form, cloth_form):
            services.change_garment(
                garment=garment,
                expected_version=version_form.cleaned_data["expected_version"],
                cloths=cloth_form.cloths(),
                by=request.staff,
                now=timezone.now(),
                **{name: style_form.cleaned_data[name] for name in ("title", "style", "choices")},
            )
            _lay_anew(request, garment)
            messages.success(request, "Changed.")
            return redirect("desk:garment", garment.pk)
    context = {
        "area": "orders",
        "order": garment.order,
        "heading": f"Change {garment.title}",
        "deed": "Save the change",
        "warning": "Another style, choice or cloth supersedes the draft, its files, lay plans and estimate; "
        "another way to lay it only its lay plans."
        if queries.current_draft(garment)
        else "",
        "version_form": version_form,
        "style_form": style_form,
        "cloth_form": cloth_form,
        "drawn_for": garment,
        **picking(request),
        "edited_meanwhile": version_form.meanwhile,
    }
    return render(request, "desk/garment_form.html", context)


def _lay_anew(request: StaffRequest, garment: Garment) -> None:
    """Ask for the lays of a draft that has none any more, because another way was chosen."""
    draft = queries.current_draft(garment)
    if draft is not None and not queries.current_lays(draft).exists():
        services.request_lay_plans(draft=draft, by=request.staff, now=timezone.now())


def _cloth_initial(garment: Garment) -> dict[str, Any]:
    initial: dict[str, Any] = {}
    for row in garment.cloths.all():
        initial[row.role] = row.cloth_id
        initial[f"{row.role}_way"] = row.way
    return initial


@owner_page
@require_POST
def cancel_order(request: StaffRequest, number: int) -> HttpResponse:
    order = find_order(request, number)
    with refusals_told(request):
        services.cancel_order(
            order=order, reason=request.POST.get("reason", ""), by=request.staff, now=timezone.now()
        )
        messages.success(request, "Cancelled.")
    return redirect("desk:order", order.number)
