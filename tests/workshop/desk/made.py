"""What the tests of the desk share: a house as it stands today, and clients that are signed in.

Pages read the clock themselves, so everything here is made at the moment at which the clock stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from io import BytesIO
from typing import Any

from django.contrib.messages import get_messages
from django.urls import URLPattern, get_resolver
from django.utils import timezone
from PIL import Image

from tests.workshop.browsing import Browser
from tests.workshop.orders import house as built
from tests.workshop.orders.house import House
from workshop.orders import services as orders
from workshop.orders.models import Draft, Garment, Order, PrivateLink
from workshop.people import services as people
from workshop.planning import services as planning
from workshop.planning.models import Fitting, FittingPhoto

SKILLS = ("cut", "prepare", "sew", "press", "finish", "fit", "alter")


def open_house(name: str = "Thread & Tide") -> House:
    """A house whose owner can do everything, open every day from 9 to 17."""
    house = built.open_house(name)
    now = timezone.now()
    people.set_opening_hours(
        workshop=house.workshop,
        spans=[(day, time(9), time(17)) for day in range(7)],
        by=house.owner,
        now=now,
    )
    for staff in (house.owner, house.apprentice):
        staff.skills = list(SKILLS)
        staff.save(update_fields=["skills"])
    return house


def due() -> date:
    return timezone.now().date() + timedelta(days=60)


def take(house: House, **changes: Any) -> Order:
    return built.take(house, now=timezone.now(), **{"due_on": due(), **changes})


def garment(house: House) -> Garment:
    return built.garment_of(take(house))


def measured(house: House) -> Garment:
    row = garment(house)
    built.measure(house, row, now=timezone.now())
    row.refresh_from_db()
    return row


def drafted(house: House) -> Draft:
    """The draft of a garment, laid on its cloths."""
    draft = built.draft(house, garment(house), now=timezone.now())
    built.lay(draft, now=timezone.now())
    return draft


def quoted(house: House, order: Order | None = None) -> PrivateLink:
    """The link of an order whose quote was sent just now."""
    return built.send(house, order or take(house), now=timezone.now())


def accepted(house: House, order: Order | None = None) -> PrivateLink:
    link = quoted(house, order)
    version = link.order.quotes.get(state="sent").version
    orders.accept_quote(link=link, name="Marta Quist", version=version, now=timezone.now())
    return link


def to_cut(house: House, order: Order | None = None) -> Garment:
    """Accepted, its deposit paid, its cloth bought, at the stage of cutting; its tasks are listed."""
    now = timezone.now()
    link = accepted(house, order)
    for cloth in (house.satin, house.interfacing):
        built.buy(house, cloth, now=now)
    deposit = link.order.quotes.get(state="accepted").deposit
    built.pay(house, link.order, deposit, now=now, received_on=house.workshop.day_of(now))
    row = orders.move_garment(garment=built.garment_of(link.order), to="cut", by=house.owner, now=now)
    planning.sync_tasks(garment=row, now=now)
    return row


def signed_in(staff: Any) -> Browser:
    browser = Browser()
    browser.force_login(staff.user)
    return browser


def told(response: Any) -> list[str]:
    """The messages that this one answer adds for the next page."""
    return [str(message) for message in get_messages(response.wsgi_request)._queued_messages]


def faults(response: Any, form: str = "form") -> dict[str, list[str]]:
    """The faults of a form on a page: field -> messages."""
    return {name: list(words) for name, words in response.context[form].errors.items()}


def patterns(namespace: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Name of each address of a surface, with a converter -> parameter map of what it takes."""
    for entry in get_resolver().url_patterns:
        if getattr(entry, "namespace", None) == namespace:
            for pattern in entry.url_patterns:
                if isinstance(pattern, URLPattern):
                    yield f"{namespace}:{pattern.name}", dict(pattern.pattern.converters)


def book(house: House, row: Garment, *, days: int = 40, by: Any = "owner") -> Fitting:
    return planning.book_fitting(
        garment=row,
        starts_at=at_noon(days),
        now=timezone.now(),
        by=house.owner if by == "owner" else by,
    )


def picture(colour: str = "grey", size: tuple[int, int] = (40, 60), **options: Any) -> bytes:
    """A JPEG file."""
    written = BytesIO()
    Image.new("RGB", size, colour).save(written, "JPEG", **options)
    return written.getvalue()


def photographed(house: House, fitting: Fitting) -> FittingPhoto:
    """A photograph of a fitting, taken with consent."""
    now = timezone.now()
    people.note_photo_consent(wearer=fitting.garment.wearer, by=house.owner, now=now)
    return planning.add_photo(fitting=fitting, sent=picture(), by=house.owner, now=now)


def at_noon(days: int) -> datetime:
    """Noon, so many days from now."""
    return (timezone.now() + timedelta(days=days)).replace(hour=12, minute=0, second=0, microsecond=0)
