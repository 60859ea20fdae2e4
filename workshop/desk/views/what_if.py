"""A garment made other ways, side by side, on its estimate's page."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.http import QueryDict
from django.utils import timezone

from costing import queries as costing_queries
from drafting.units import Unit
from workshop.desk.forms.what_if import MOST_BESIDE, WhatIfForm
from workshop.errors import REFUSALS, Refusal
from workshop.orders import services
from workshop.orders.models import Garment
from workshop.orders.services import WhatIf, WhatIfReckoned
from workshop.pages import StaffRequest, refusals_on
from workshop.planning import services as planning
from workshop.planning.services import PromiseIf

LONGEST_QUERY = 1000


@dataclass(frozen=True, slots=True)
class Way:
    """A garment made one way: in words, what it comes to, and when; ``query`` asks for it again."""

    words: str
    reckoned: WhatIfReckoned
    promise: PromiseIf | None
    query: str = ""


def what_if_of(request: StaffRequest, garment: Garment) -> dict[str, Any]:
    """The form, and where it was sent the ways side by side: as it is held, those kept, the one asked for."""
    asking = _Asking(request, garment, timezone.now())
    form = asking.form(request.GET if "what" in request.GET else None)
    ways: list[Way] = []
    if form.is_valid():
        with refusals_on(form):
            # What is asked for comes first: where it is refused, the page says so at its field.
            asked = asking.way(form, _plain_query(request.GET))
            kept = request.GET.getlist("beside")[-MOST_BESIDE:]
            beside = [way for query in kept if (way := asking.kept(query)) and way.query != asked.query]
            ways = [asking.held(), *beside, asked]
    return {"what_if_form": form, "ways": ways, "ways_asked": ways[1:]}


def _plain_query(sent: QueryDict) -> str:
    """What was sent, without what only says how it is shown and what was left empty."""
    plain = QueryDict(mutable=True)
    for name, value in sent.items():
        if name not in {"beside", "what"} and value:
            plain[name] = str(value)
    return plain.urlencode()[:LONGEST_QUERY]


class _Asking:
    """Reckons a garment one way after the other, with what is read once for all of them."""

    def __init__(self, request: StaffRequest, garment: Garment, now: datetime) -> None:
        self.garment, self.floors = garment, planning.Floors(garment.workshop, now)
        self.options: dict[str, Any] = {
            "garment": garment,
            "cloths": list(costing_queries.cloths(request.workshop)),
            "unit": Unit(request.workshop.length_unit),
            "rates": costing_queries.rates_of(request.workshop),
            "today": request.workshop.day_of(now),
        }

    def form(self, data: QueryDict | None) -> WhatIfForm:
        return WhatIfForm(data, **self.options)

    def held(self) -> Way:
        return self._reckon("As it is", WhatIf(cloths={}), "")

    def kept(self, query: str) -> Way | None:
        """A way that stood beside before; None where it no longer makes sense."""
        form = self.form(QueryDict(query[:LONGEST_QUERY]))
        try:
            return self.way(form, _plain_query(QueryDict(query[:LONGEST_QUERY]))) if form.is_valid() else None
        except REFUSALS:
            return None

    def way(self, form: WhatIfForm, query: str) -> Way:
        return self._reckon(form.words(), form.wanted(), query)

    def _reckon(self, words: str, what: WhatIf, query: str) -> Way:
        reckoned = services.reckon_what_if(garment=self.garment, what=what)
        return Way(words, reckoned, self._promise(reckoned), query)

    def _promise(self, reckoned: WhatIfReckoned) -> PromiseIf | None:
        try:
            return planning.promise_if(
                garment=self.garment,
                operations=reckoned.operations,
                quantity=reckoned.copies,
                wished_on=reckoned.due_on,
                floors=self.floors,
            )
        except Refusal:
            return None  # the table says that no day can be told
