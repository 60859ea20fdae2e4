"""The price list and the stock."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Any, TypeVar

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_POST

from costing import queries as costing_queries
from costing import services as costing_services
from costing.models import Cloth, Notion
from costing.rules.care import CARE_FIELDS
from costing.rules.lengths import USEFUL_MM
from costing.services.pricelist import NOTION_FIELDS
from drafting.units import Unit
from workshop.desk.editing import edits_on
from workshop.desk.forms.prices import (
    CLOTH_LENGTHS,
    METRES_A_YARD,
    SHARES,
    ClothForm,
    FlawForm,
    NotionForm,
    PricedForm,
    StockForm,
    SwatchForm,
    plain_amount,
    written,
)
from workshop.orders import queries as order_queries
from workshop.orders import services as order_services
from workshop.orders.services import ask_for_plan
from workshop.pages import StaffRequest, faults_in, once, owner_page, press_once, refusals_on, refusals_told
from workshop.templatetags.workshop_tags import cloth_length

Form = TypeVar("Form", ClothForm, NotionForm)

CLOTH_PLAIN = (
    *("use", "name", "composition", "supplier", "one_way"),
    *("days_to_come", "right_side", *CARE_FIELDS),
)
"""Fields of a cloth that the form holds as they are kept."""


def _unit(request: StaffRequest) -> Unit:
    return Unit(request.workshop.length_unit)


def _today(request: StaffRequest) -> date:
    return request.workshop.day_of(timezone.now())


def selling_unit(request: StaffRequest) -> Unit:
    """Cloth is bought by the yard where lengths are in inches, else by the metre."""
    return Unit.YD if _unit(request) is Unit.IN else Unit.M


def find_cloth(request: StaffRequest, pk: int) -> Cloth:
    cloth = costing_queries.cloth_of(request.workshop, pk)
    if cloth is None:
        raise Http404
    return cloth


def find_notion(request: StaffRequest, pk: int) -> Notion:
    notion = costing_queries.notion_of(request.workshop, pk)
    if notion is None:
        raise Http404
    return notion


@owner_page
def show_prices(request: StaffRequest) -> HttpResponse:
    workshop = request.workshop
    cloths = list(costing_queries.cloths(workshop))
    stock = costing_queries.stock_of(cloth.pk for cloth in cloths)
    selling = selling_unit(request)
    per_unit = METRES_A_YARD if selling is Unit.YD else Decimal(1)
    context = {
        "area": "prices",
        "cloths": [
            {
                "row": cloth,
                "stock": stock[cloth.pk],
                "price": cloth.price_per_metre * per_unit,
                "care": costing_queries.care_of(cloth),
            }
            for cloth in cloths
        ],
        "notions": costing_queries.notions(workshop),
        "rates": costing_queries.rates_of(workshop),
        "currency": workshop.currency,
        "unit": str(_unit(request)),
        "selling_unit": str(selling),
    }
    return render(request, "desk/prices.html", context)


@owner_page
def add_cloth(request: StaffRequest) -> HttpResponse:
    form = _cloth_form(request, {"selvedge_mm": written(10, _unit(request))})
    return _add_to_list(request, form, "Add a cloth", costing_services.add_cloth, _cloth_values)


@owner_page
def add_notion(request: StaffRequest) -> HttpResponse:
    form = NotionForm(request.POST or None, unit=_unit(request), currency=request.workshop.currency)
    return _add_to_list(request, form, "Add a notion", costing_services.add_notion, _notion_values)


def _add_to_list(
    request: StaffRequest,
    form: Form,
    heading: str,
    add: Callable[..., object],
    values: Callable[[Form], dict[str, Any]],
) -> HttpResponse:
    """The page that adds a cloth or a notion to the price list."""

    def deed() -> str:
        add(workshop=request.workshop, today=_today(request), **values(form))
        messages.success(request, f"{form.cleaned_data['name']} is on the list.")
        return resolve_url("desk:prices")

    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            return once(request, request.workshop, deed)
    return _form_page(request, form, heading, {"adds": True})


@owner_page
def edit_cloth(request: StaffRequest, pk: int) -> HttpResponse:
    cloth = find_cloth(request, pk)
    form = _cloth_form(request, _cloth_initial(request, cloth), cloth)
    if request.method == "POST" and form.is_valid():
        with edits_on(form):
            costing_services.edit_cloth(
                cloth=cloth,
                expected_version=form.cleaned_data["expected_version"] or 0,
                today=_today(request),
                **_cloth_values(form, cloth),
            )
            ask_for_plan(request.workshop)  # of the days that it takes to come
            messages.success(request, "Saved.")
            return redirect("desk:prices")
    stock = costing_queries.stock_of([cloth.pk])[cloth.pk]
    more = {
        "cloth": cloth,
        "stock": stock,
        **_shelf(request, cloth),
        "care": costing_queries.care_of(cloth),
        "waste": order_queries.learnt_waste(request.workshop.pk).of(cloth.pk),
        "swatch_form": SwatchForm(),
        "stock_form": StockForm(unit=selling_unit(request)),
        "stock_moves": costing_queries.moves_of(cloth).select_related("garment")[:30],
        "selling_unit": str(selling_unit(request)),
    }
    return _form_page(request, form, cloth.name, more)


def _shelf(request: StaffRequest, cloth: Cloth) -> dict[str, Any]:
    """The lengths that lie there, their flaws, and the form that notes one."""
    lying = costing_queries.lying_of(cloth.pk)
    return {
        "lengths": [row for row in costing_queries.lengths_of([cloth.pk])[cloth.pk] if row.free >= USEFUL_MM],
        "lying": lying,
        "flaws": costing_queries.flaws_of(cloth).filter(length__in=[row.key for row in lying]),
        "flaw_form": FlawForm(unit=_unit(request), lengths=_length_choices(request, cloth)),
    }


def _length_choices(request: StaffRequest, cloth: Cloth) -> list[tuple[int, str]]:
    unit = str(selling_unit(request))
    return [
        (row.key, f"that of {cloth_length(row.left, unit)}" + (", in part set aside" if row.holders else ""))
        for row in costing_queries.lying_of(cloth.pk)
    ]


@owner_page
@require_POST
def note_flaw(request: StaffRequest, pk: int) -> HttpResponse:
    """Note a flaw of one of the cloth's lengths."""
    cloth = find_cloth(request, pk)
    form = FlawForm(request.POST, unit=_unit(request), lengths=_length_choices(request, cloth))
    if not form.is_valid():
        messages.error(request, faults_in(form))
        return redirect("desk:cloth", cloth.pk)
    deed = partial(_note_flaw, request, cloth, form)
    return press_once(request, request.workshop, deed, "desk:cloth", cloth.pk)


def _note_flaw(request: StaffRequest, cloth: Cloth, form: FlawForm) -> str:
    data = form.cleaned_data
    waiting = order_services.note_flaw(
        length=cloth.moves.get(pk=data["length"]),
        at_mm=data["at"],
        across_mm=data["across"],
        size_mm=data["size"],
        note=data["note"],
        by=request.staff,
        now=timezone.now(),
    )
    told = ", ".join(garment.title for garment in waiting)
    messages.success(request, f"Noted. No sound length is left for {told}." if told else "Noted.")
    return resolve_url("desk:cloth", cloth.pk)


@owner_page
@require_POST
def drop_flaw(request: StaffRequest, pk: int) -> HttpResponse:
    flaw = costing_queries.flaw_of(request.workshop, pk)
    if flaw is None:
        raise Http404
    costing_services.drop_flaw(flaw=flaw)
    return redirect("desk:cloth", flaw.length.cloth_id)


@owner_page
@require_POST
def move_stock(request: StaffRequest, pk: int) -> HttpResponse:
    """Note what came, came back or was spoilt; bought cloth goes to the garments that wait for it."""
    cloth = find_cloth(request, pk)
    form = StockForm(request.POST, unit=selling_unit(request))
    if form.is_valid():
        with refusals_on(form):
            return once(request, request.workshop, partial(_move, request, cloth, form))
    messages.error(request, faults_in(form))
    return redirect("desk:cloth", cloth.pk)


def _move(request: StaffRequest, cloth: Cloth, form: StockForm) -> str:
    data = form.cleaned_data
    now = timezone.now()
    page = resolve_url("desk:cloth", cloth.pk)
    if data["kind"] == "bought":
        served = order_services.mark_cloth_bought(
            workshop=request.workshop,
            cloth=cloth,
            length_mm=data["length"],
            by=request.staff,
            now=now,
            note=data["note"],
        )
        told = ", ".join(garment.title for garment in served)
        messages.success(request, f"On the shelf, and set aside for {told}." if told else "On the shelf.")
        return page
    move = costing_services.return_cloth if data["kind"] == "returned" else costing_services.waste_cloth
    move(cloth=cloth, length_mm=data["length"], now=now, note=data["note"])
    messages.success(request, "Noted.")
    return page


@owner_page
@require_POST
def set_swatch(request: StaffRequest, pk: int) -> HttpResponse:
    """Keep the picture that was sent; with ``remove`` take it away."""
    cloth = find_cloth(request, pk)
    form = SwatchForm(request.POST, request.FILES)
    with refusals_told(request):
        if "remove" in request.POST:
            costing_services.drop_swatch(cloth=cloth)
        elif form.is_valid():
            costing_services.set_swatch(cloth=cloth, file=form.cleaned_data["swatch"])
            messages.success(request, "The picture is kept.")
        else:
            messages.error(request, "Choose a picture first.")
    return redirect("desk:cloth", cloth.pk)


@owner_page
def edit_notion(request: StaffRequest, pk: int) -> HttpResponse:
    notion = find_notion(request, pk)
    unit, currency = _unit(request), request.workshop.currency
    initial = {
        **{name: getattr(notion, name) for name in NOTION_FIELDS},
        "size_mm": written(notion.size_mm, unit),
        "price_each": plain_amount(notion.price_each, currency),
        "expected_version": notion.version,
    }
    held = {"size_mm": notion.size_mm}
    form = NotionForm(request.POST or None, unit=unit, currency=currency, held=held, initial=initial)
    if request.method == "POST" and form.is_valid():
        with edits_on(form):
            costing_services.edit_notion(
                notion=notion,
                expected_version=form.cleaned_data["expected_version"] or 0,
                today=_today(request),
                **_notion_values(form),
            )
            messages.success(request, "Saved.")
            return redirect("desk:prices")
    return _form_page(request, form, notion.name)


def _cloth_form(request: StaffRequest, initial: dict[str, Any], cloth: Cloth | None = None) -> ClothForm:
    return ClothForm(
        request.POST or None,
        unit=_unit(request),
        currency=request.workshop.currency,
        held={name: getattr(cloth, name) for name in CLOTH_LENGTHS} if cloth else None,
        initial=initial,
    )


def _cloth_initial(request: StaffRequest, cloth: Cloth) -> dict[str, Any]:
    unit = _unit(request)
    per_unit = METRES_A_YARD if unit is Unit.IN else Decimal(1)
    return {
        **{name: getattr(cloth, name) for name in CLOTH_PLAIN},
        **{name: written(getattr(cloth, name), unit) for name in CLOTH_LENGTHS},
        **{name: round(getattr(cloth, name) * 100, 2) for name in SHARES},
        "price": plain_amount(cloth.price_per_metre * per_unit, request.workshop.currency),
        "sold_by": f"{cloth.sold_by_mm:g}",
        "expected_version": cloth.version,
    }


def _cloth_values(form: ClothForm, cloth: Cloth | None = None) -> dict[str, Any]:
    """What the form says, in mm, shares and the price of a metre; a price that was left is kept exactly."""
    data = form.cleaned_data
    per_metre = (data["price"] / Decimal(str(form.metres_in_unit))).quantize(Decimal("0.001"))
    if cloth is not None and "price" not in form.changed_data:
        per_metre = cloth.price_per_metre
    return {
        **{name: data[name] for name in CLOTH_PLAIN},
        **{name: data[name] or 0.0 for name in CLOTH_LENGTHS},
        **{name: float(data[name] or 0) / 100 for name in SHARES},
        "price_per_metre": per_metre,
        "sold_by_mm": float(data["sold_by"]),
    }


def _notion_values(form: NotionForm) -> dict[str, Any]:
    return form.values(NOTION_FIELDS)


def _form_page(
    request: StaffRequest, form: PricedForm, heading: str, more: dict[str, Any] | None = None
) -> HttpResponse:
    context = {
        "area": "prices",
        "form": form,
        "heading": heading,
        "edited_meanwhile": form.meanwhile,
        **(more or {}),
    }
    return render(request, "desk/price_form.html", context)
