"""Choosing a style: its choices, and the garment drawn as they change. Nothing is stored here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render

import drafting
from drafting.body import SIZES, Body
from drafting.errors import DraftingError
from drafting.output.garment import garment_svg
from drafting.output.svg import piece_svg
from drafting.pattern import Draft as Pattern
from drafting.units import Unit
from workshop.desk.forms.garments import ChoicesForm
from workshop.desk.forms.house import HouseRulesForm
from workshop.desk.views.garments import finished_rows
from workshop.errors import Refusal
from workshop.orders import queries
from workshop.pages import StaffRequest, faults_in, owner_page
from workshop.people.queries import house_values

USUAL_SIZE = "woman-92-168"


def picking(request: StaffRequest) -> dict[str, Any]:
    """What a page that asks for a style takes besides its form: sizes to draw it for, house rules to try."""
    house_form = HouseRulesForm(
        prefix="house",
        unit=Unit(request.workshop.length_unit),
        values=house_values(request.workshop),
        initial={"expected_version": 0},
    )
    return {"sizes": SIZES.values(), "drawn_size": USUAL_SIZE, "house_form": house_form}


@owner_page
def show_choices(request: StaffRequest) -> HttpResponse:
    """The fields of one style's choices, as they come."""
    form = ChoicesForm(workshop=request.workshop, initial={"style": request.GET.get("style")})
    return render(request, "desk/_choices.html", {"style_form": form})


@owner_page
def draw_style(request: StaffRequest) -> HttpResponse:
    """The garment of these choices for a wearer or a size: its drawing, pieces, measurements and checks."""
    unit = Unit(request.workshop.length_unit)
    form = ChoicesForm(request.GET, workshop=request.workshop)
    context: dict[str, Any] = {"unit": str(unit)}
    try:
        body, context["whose"] = _drawn_for(request)
        if not form.is_valid():
            raise Refusal(faults_in(form))
        data = form.cleaned_data
        pattern = drafting.make_draft(data["style"], body, data["choices"], _house(request, unit))
    except (DraftingError, Refusal) as refusal:
        context["faults"] = [str(refusal)]
    else:
        context |= _pictures(pattern, unit)
    return render(request, "desk/_drawn.html", context)


def _house(request: StaffRequest, unit: Unit) -> Mapping[str, float]:
    """The house rules as they are kept, or as they are being tried for this drawing.

    Raises: Refusal where what is tried cannot be read.
    """
    held = house_values(request.workshop)
    tried = HouseRulesForm(
        request.GET, prefix="house", unit=unit, values=held, initial={"expected_version": 0}
    )
    if not any(name.startswith("house-") for name in request.GET):
        return held
    if not tried.is_valid():
        name, faults = next(iter(tried.errors.items()))
        raise Refusal(f"{tried.fields[name].label}: {faults[0]}" if name in tried.fields else str(faults[0]))
    return tried.values(held)


def _pictures(pattern: Pattern, unit: Unit) -> dict[str, Any]:
    return {
        "pattern": pattern,
        "garment_picture": garment_svg(pattern),
        "finished": finished_rows(pattern),
        "failed": [check for check in pattern.checks if not check.ok],
        "pieces": [
            {"name": piece.name, "picture": piece_svg(piece, unit=unit, lettered=False)}
            for piece in pattern.pieces
        ],
    }


def _drawn_for(request: StaffRequest) -> tuple[Body, str]:
    """The body of the garment that is being changed, else of the size chosen; and whose it is, in words."""
    number = request.GET.get("drawn_for", "")
    known = number.isascii() and number.isdigit() and len(number) < 15
    garment = queries.garment_of(request.workshop, int(number)) if known else None
    if garment is not None and garment.measurements is not None:
        body = queries.body_for(garment)
        assert body is not None
        return body, garment.wearer.name
    size = SIZES.get(request.GET.get("drawn_size", ""), SIZES[USUAL_SIZE])
    return size.body(), f"a {size.title}"
