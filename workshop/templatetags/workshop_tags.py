"""How values are written on pages: lengths in the workshop's unit, money, minutes, the six stitches."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django import template
from django.forms import ModelChoiceField
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from costing import speech
from costing.rules.cloth_words import cloth_words
from costing.rules.money import format_money
from costing.style_speech import made_of
from drafting.body import CATALOGUE
from drafting.units import Unit, format_length
from workshop.pages import MARK, read_mark

register = template.Library()

MOST_LETTERS = 23
"""Of an option in a field of the usual width."""

STAGES = ("measure", "draft", "cut", "sew", "fit", "deliver")


@register.filter
def in_unit(mm: float | None, unit: str) -> str:
    """``900|in_unit:"in"`` -> ``35 3/8 in``; a dash where there is no value."""
    if mm is None:
        return "–"
    return f"{format_length(float(mm), Unit(unit))} {unit}"


@register.filter
def bare_length(mm: float | None, unit: str) -> str:
    """A length without its unit, for the value of a field."""
    return "" if mm is None else format_length(float(mm), Unit(unit))


@register.filter
def cloth_length(mm: float, unit: str) -> str:
    """A length of cloth as it lies on the shelf: metres to the centimetre, yards as they are sold."""
    return f"{mm / 1000:.2f} m" if unit == "m" else in_unit(mm, unit)


@register.filter
def more_length(mm: float, unit: str) -> str:
    """``-200|more_length:"m"`` -> ``0.20 m less``: a difference of cloth in words."""
    if round(mm) == 0:
        return "the same"
    return f"{cloth_length(abs(mm), unit)} {'more' if mm > 0 else 'less'}"


@register.filter
def money(amount: Decimal | str | None, currency: str) -> str:
    """An amount in a currency, rounded to its minor unit; a dash where there is none."""
    return "–" if amount is None else speech.money(Decimal(amount), currency)


@register.filter
def clock(at: datetime) -> str:
    """``14:30``, on the wall of the workshop."""
    return speech.clock(timezone.localtime(at))


@register.filter
def day(on: date) -> str:
    """``5 December 2026`` in the language that is spoken."""
    return speech.day(_day_of(on))


@register.filter
def weekday(on: date) -> str:
    """``Saturday 5 December 2026`` in the language that is spoken."""
    return speech.weekday(_day_of(on))


@register.filter
def weekday_this_year(on: date) -> str:
    """``Saturday 5 December`` in the language that is spoken."""
    return speech.weekday_this_year(_day_of(on))


def _day_of(on: date) -> date:
    """A day as it is; of a moment the day that it is in the workshop."""
    return timezone.localtime(on).date() if isinstance(on, datetime) else on


@register.filter
def more_money(amount: Decimal, currency: str) -> str:
    """``-45|more_money:"EUR"`` -> ``EUR 45.00 less``: a difference of prices in words."""
    if not amount:
        return "the same price"
    return f"{format_money(abs(amount), currency)} {'more' if amount > 0 else 'less'}"


register.filter("cloth_words", cloth_words)
register.filter("made_of", made_of)


@register.filter
def hours(minutes: float | None) -> str:
    """``155|hours`` -> ``2 h 35 min``."""
    if minutes is None:
        return "–"
    whole, rest = divmod(round(minutes), 60)
    if not whole:
        return f"{rest} min"
    return f"{whole} h {rest:02d} min" if rest else f"{whole} h"


@register.filter
def beyond_minutes(minutes: float) -> str:
    """``-75|beyond_minutes`` -> ``−1 h 15 min``: a difference with its sign."""
    if not round(minutes):
        return hours(0)
    return ("+" if minutes > 0 else "\u2212") + hours(abs(minutes))


@register.filter
def whole_hours(minutes: float) -> str:
    """``5020|whole_hours`` -> ``84 h``: sums of a week, where minutes say nothing."""
    return f"{round(minutes / 60)} h"


@register.filter
def plain(number: Decimal | float) -> str:
    """``Decimal("18.00")|plain`` -> ``18``: a number without the noughts that its column stores."""
    return f"{Decimal(str(number)).normalize():f}"


@register.filter
def unit_price(price: Decimal | str) -> str:
    """``"34.500"|unit_price`` -> ``34.50``: two decimals, more only where the price has them."""
    whole, _, decimals = plain(Decimal(price)).partition(".")
    return f"{whole}.{decimals:0<2}"


@register.filter
def measurement_word(name: str) -> str:
    """``"shoulder_length"|measurement_word`` -> ``shoulder``: the workshop's word for a measurement."""
    return CATALOGUE[name].word if name in CATALOGUE else name.replace("_", " ")


@register.filter
def month_name(month: int) -> str:
    """``11|month_name`` -> ``November``."""
    return date(2000, month, 1).strftime("%B")


@register.filter
def percent(share: float | None) -> str:
    """``0.835|percent`` -> ``84 %``."""
    return "–" if share is None else f"{float(share) * 100:.0f} %"


@register.filter
def is_long(field: Any) -> bool:
    """Whether a field offers words that a select of the usual width would cut."""
    if field.widget_type != "select" or isinstance(field.field, ModelChoiceField):
        return False  # names of rows: reading them once more would ask the database again
    return any(len(str(label)) > MOST_LETTERS for _, label in field.field.choices)


@register.filter
def item(mapping: dict[str, object], key: str) -> object:
    """The value of a key that is itself a variable."""
    return mapping.get(key, "")


@register.simple_tag(takes_context=True)
def once(context: Mapping[str, Any]) -> SafeString:
    """The mark of a form that makes something, so that sending it twice does it once (``pages.once``).

    A form that comes back with faults keeps the mark that it was sent with.
    """
    mark = read_mark(context["request"]) or uuid.uuid4()
    return format_html('<input type="hidden" name="{}" value="{}">', MARK, mark)


@register.simple_tag
def drawing(svg: str) -> SafeString:
    """An SVG drawing that this service made itself, put into the page as it is."""
    return mark_safe(svg)


@register.simple_tag
def stitches(stage: str) -> SafeString:
    """Six stitches for six stages: sewn, being sewn, still to sew; the words are there for a reader."""
    reached = len(STAGES) if stage == "delivered" else STAGES.index(stage)
    parts = [_stitch(number, reached) for number in range(len(STAGES))]
    said = {"place": reached + 1, "stage": pgettext("stage", stage)}
    label = _("all six stages done") if stage == "delivered" else _("stage %(place)s of 6: %(stage)s") % said
    return format_html(
        '<svg class="stitches" viewBox="0 0 240 22" role="img" aria-label="{}">{}</svg>',
        label,
        mark_safe("".join(parts)),
    )


def _stitch(number: int, reached: int) -> str:
    left = 4 + number * 40
    kind = "done" if number < reached else "now" if number == reached else "ahead"
    needle = f'<circle cx="{left + 30}" cy="6" r="3"/>' if kind == "now" else ""
    line = f'<path class="{kind}" d="M{left} 14h30" stroke-linecap="round"/>'
    return line + (
        f'<path class="now" d="M{left + 30} 14l6 -10" style="stroke-width:1.5"/>{needle}' if needle else ""
    )
