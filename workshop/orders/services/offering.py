"""Choices in a quote: the owner offers another cloth or lining, the customer's pick becomes what is made."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from costing import queries as costing_queries
from costing import speech
from costing.errors import CostingError
from costing.models import Cloth, Quote, QuoteState
from costing.rules.money import ZERO
from costing.rules.options import Alternative, Option, options_in
from costing.rules.tax import TaxKey, net_of
from costing.style_speech import choice_value
from drafting.errors import DraftingError
from drafting.styles import STYLES
from drafting.units import Unit
from workshop.errors import Refusal
from workshop.orders.models import Garment, Order, Stage
from workshop.orders.services.drafting import draft_garment, request_outputs
from workshop.orders.services.taking import change_garment
from workshop.orders.services.what_if import LINING, WhatIf, reckon_what_if
from workshop.people.models import Staff
from workshop.people.services import write_log
from workshop.people.services.checking import require_owner, require_same_workshop

CLOTH = "cloth"
MOST_ALTERNATIVES = 6
CAN_CHANGE = (Stage.MEASURE, Stage.DRAFT)
"""The stages at which a garment may still be made of another cloth."""


@transaction.atomic
def offer_alternative(
    *,
    quote: Quote,
    garment: Garment,
    by: Staff | None,
    now: datetime,
    cloth: Cloth | None = None,
    lining: str | None = None,
    lining_cloth: Cloth | None = None,
) -> Quote:
    """Offer a garment of a quote that is not sent yet in another shell cloth, or lined another way.

    Raises: Refusal: it is sent, the garment is cut, nothing or too much is chosen, or it is so already;
    NotPriced; CannotDraft, BadChoice.
    """
    require_owner(by, "offer a choice")
    require_same_workshop(quote.workshop, by, garment, cloth, lining_cloth)
    quote = _open(quote)
    garment = Garment.objects.select_related("workshop", "order", "wearer").get(pk=garment.pk)
    if (cloth is None) == (lining is None):
        raise Refusal("Offer one thing at a time: another shell cloth, or another lining.", field="cloth")
    if garment.order_id != quote.order_id:
        raise Refusal("That garment is none of this quote.", field="garment")
    if garment.stage not in CAN_CHANGE:
        raise Refusal(f"{garment.title} is cut already; it cannot be made another way.", field="garment")
    what = _cloth_what(cloth) if cloth is not None else _lining_what(lining, lining_cloth)
    _cloths_of(garment, what)  # refused here, to the owner, not in the customer's language below
    with speech.speaking(speech.language_of(quote.content)):
        options = _with_way(options_in(quote.content), garment, what)
    quote.content = {**quote.content, "options": [option.to_json() for option in options]}
    quote.save(update_fields=["content"])
    write_log(
        workshop=quote.workshop,
        by=by,
        action="offer alternative",
        row=quote,
        order_id=quote.order_id,
        summary=f"Offered a choice for {garment.title} in quote version {quote.version}",
        now=now,
        after={"what": what},
    )
    return quote


@transaction.atomic
def drop_option(*, quote: Quote, place: int, by: Staff | None, now: datetime) -> Quote:
    """Take a choice out of a quote that is not sent yet; ``place`` from 0. Raises: Refusal."""
    require_owner(by, "take back a choice")
    require_same_workshop(quote.workshop, by)
    quote = _open(quote)
    options = quote.content.get("options", [])
    if not 0 <= place < len(options):
        raise Refusal("This quote has no such choice any more.")
    quote.content = {**quote.content, "options": options[:place] + options[place + 1 :]}
    quote.save(update_fields=["content"])
    write_log(
        workshop=quote.workshop,
        by=by,
        action="drop option",
        row=quote,
        order_id=quote.order_id,
        summary=f"Took back a choice in quote version {quote.version}",
        now=now,
    )
    return quote


def _open(quote: Quote) -> Quote:
    rows = Quote.objects.select_for_update(of=("self",)).select_related("workshop")
    found = rows.filter(pk=quote.pk, state=QuoteState.OPEN).first()
    if found is None:
        raise Refusal("This version was sent, and is frozen: prepare a new version to offer a choice.")
    return found


def _cloth_what(cloth: Cloth) -> dict[str, Any]:
    return {"cloths": {"shell": cloth.pk}}


def _lining_what(lining: str | None, cloth: Cloth | None) -> dict[str, Any]:
    return {"lining": lining, "cloths": {} if cloth is None else {LINING: cloth.pk}}


def carried_options(order: Order, garments: Sequence[Garment]) -> list[dict[str, Any]]:
    """The choices of the version before, reckoned anew; what cannot be reckoned any more is left out.

    A version that was accepted or replaced leaves none: what was picked there is settled.
    """
    newest = Quote.objects.filter(order=order).order_by("-version").first()
    if newest is None or newest.state not in {QuoteState.OPEN, QuoteState.SENT, QuoteState.DECLINED}:
        return []
    by_id = {garment.pk: garment for garment in garments if garment.stage in CAN_CHANGE}
    options: tuple[Option, ...] = ()
    for option in options_in(newest.content):
        for way in option.alternatives:
            if way.what and option.garment_id in by_id:
                options = _still_offered(options, by_id[option.garment_id], way.what)
    return [option.to_json() for option in options]


def _still_offered(
    options: tuple[Option, ...], garment: Garment, what: Mapping[str, Any]
) -> tuple[Option, ...]:
    try:
        return _with_way(options, garment, what)
    except (Refusal, CostingError, DraftingError):
        return options


def _with_way(options: Iterable[Option], garment: Garment, what: Mapping[str, Any]) -> tuple[Option, ...]:
    """The options with one way more for a garment, reckoned beside its estimate."""
    kind = LINING if what.get(LINING) is not None else CLOTH
    kept = list(options)
    place = next(
        (at for at, row in enumerate(kept) if (row.garment_id, row.kind) == (garment.pk, kind)), None
    )
    option = _new_option(garment, kind) if place is None else kept[place]
    option = option.with_also(_reckoned(garment, kind, what))
    if len(option.alternatives) > MOST_ALTERNATIVES:
        raise Refusal(f"A choice is between {MOST_ALTERNATIVES} at most.", field="cloth")
    if place is None:
        return (*kept, option)
    kept[place] = option
    return tuple(kept)


def _new_option(garment: Garment, kind: str) -> Option:
    if kind == LINING:
        as_quoted = Alternative(_lining_words(garment, _lined(garment)))
        return Option(garment.pk, kind, _("Lining of %(title)s") % {"title": garment.title}, (as_quoted,))
    row = garment.cloths.select_related("cloth").filter(role="shell").first()
    if row is None:
        raise Refusal(f"Choose the shell cloth of {garment.title} first.", field="cloth")
    title = _("Cloth of %(title)s") % {"title": garment.title}
    return Option(garment.pk, kind, title, (Alternative(row.cloth.name),))


def _lined(garment: Garment) -> str:
    choice = _lining_choice(garment)
    return str(garment.choices.get(LINING, choice.default))


def _lining_choice(garment: Garment) -> Any:
    choice = next((row for row in STYLES[garment.style].choices if row.name == LINING), None)
    if choice is None:
        raise Refusal(f"{garment.title} has no lining to choose.", field="lining")
    return choice


def _lining_words(garment: Garment, value: str, cloth: Cloth | None = None) -> str:
    choice = _lining_choice(garment)
    words = choice.words(value, Unit(garment.workshop.length_unit))
    said = choice_value(choice.title, words) if choice.says_something(value) else _("without a lining")
    return said if cloth is None else _("%(lining)s, in %(cloth)s") % {"lining": said, "cloth": cloth.name}


def _reckoned(garment: Garment, kind: str, what: Mapping[str, Any]) -> Alternative:
    """A way with what it adds to the garment as it is. Raises: Refusal where it is so already."""
    cloths = _cloths_of(garment, what)
    held = {row.role: row.cloth_id for row in garment.cloths.all()}
    same_cloths = all(held.get(role) == cloth.pk for role, cloth in cloths.items())
    if same_cloths and (kind == CLOTH or what[LINING] == _lined(garment)):
        raise Refusal(f"{garment.title} is quoted so already.", field=kind)
    as_is = reckon_what_if(garment=garment, what=WhatIf(cloths={}))
    other = reckon_what_if(garment=garment, what=WhatIf(cloths=cloths, lining=what.get(LINING)))
    words = (
        _lining_words(garment, what[LINING], cloths.get(LINING)) if kind == LINING else cloths["shell"].name
    )
    return Alternative(
        words,
        difference=other.total - as_is.total,
        minutes=other.minutes - as_is.minutes,
        what=what,
        provisional=bool(other.guessed),
    )


def _cloths_of(garment: Garment, what: Mapping[str, Any]) -> dict[str, Cloth]:
    cloths = {}
    for role, pk in what.get("cloths", {}).items():
        cloth = costing_queries.cloth_of(garment.workshop, pk)
        if cloth is None or cloth.archived_at is not None or cloth.use != role:
            raise Refusal(_("That cloth is no longer in the price list; choose another."), field="cloth")
        cloths[role] = cloth
    return cloths


def make_as_picked(*, garment: Garment, picks: Sequence[Alternative], now: datetime) -> Garment:
    """Let a garment be what the customer picked, drafted and laid anew where that asks for it.

    Raises: Refusal where a picked cloth can no longer be had.
    """
    wishes = [way.what for way in picks if way.what]
    if not wishes:
        return garment
    cloths = {row.role: (row.cloth, row.way) for row in garment.cloths.select_related("cloth")}
    choices = dict(garment.choices)
    for what in wishes:
        for role, cloth in _cloths_of(garment, what).items():
            cloths[role] = (cloth, cloths[role][1] if role in cloths else "")
        if what.get(LINING) is not None:
            choices[LINING] = what[LINING]
    garment = change_garment(
        garment=garment,
        expected_version=garment.version,
        title=garment.title,
        style=garment.style,
        choices=choices,
        cloths=cloths,
        by=None,
        now=now,
    )
    _draft_anew(garment, now)
    return Garment.objects.select_related("workshop", "wearer", "order").get(pk=garment.pk)


def _draft_anew(garment: Garment, now: datetime) -> None:
    """What cannot be drafted stays at draft: the rail tells the owner, and the customer's answer holds."""
    try:
        with transaction.atomic():
            draft = draft_garment(garment=garment, by=None, now=now)
    except DraftingError:
        return
    request_outputs(draft=draft, by=None, now=now)


def priced_as_picked(
    rows: Sequence[Mapping[str, Any]],
    picks: Mapping[int, Sequence[Alternative]],
    keys: Sequence[TaxKey],
    currency: str,
) -> list[dict[str, Any]]:
    """The garments of a quote at the price of what was picked for each.

    ``picks`` by garment's key; ``keys`` the tax of each garment.
    """
    return [
        _priced(dict(row), picks.get(row["garment_id"], ()), key, currency)
        for row, key in zip(rows, keys, strict=True)
    ]


def _priced(row: dict[str, Any], picks: Sequence[Alternative], key: TaxKey, currency: str) -> dict[str, Any]:
    difference = sum((way.difference for way in picks), ZERO)
    total = Decimal(row["total"]) + difference
    return {
        **row,
        "net": str(net_of(total, key.rate, currency)) if difference else row["net"],
        "total": str(total),
        "amount": str(total),
        "minutes": row["minutes"] + sum(way.minutes for way in picks),
        "provisional": row["provisional"] or any(way.provisional for way in picks),
    }
