"""Lists and single rows, always of one workshop. What is not there, or is another workshop's, is None."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.db.models import Q, QuerySet

from workshop.people.models import (
    Client,
    LogEntry,
    MeasurementSet,
    OpeningHours,
    Staff,
    Wearer,
    Workshop,
)


def clients(workshop: Workshop, search: str = "") -> QuerySet[Client]:
    """Clients by name; ``search`` looks in name, email and telephone."""
    found = Client.objects.filter(workshop=workshop)
    words = search.replace("\x00", "").strip()[:100]
    if words:
        found = found.filter(Q(name__icontains=words) | Q(email__icontains=words) | Q(phone__icontains=words))
    return found.order_by("name", "pk")


def client_of(workshop: Workshop, pk: int) -> Client | None:
    return Client.objects.filter(workshop=workshop, pk=pk).first()


def wearers(workshop: Workshop, client: Client | None = None) -> QuerySet[Wearer]:
    """Wearers by name, those of one client where given; erased ones left out."""
    found = Wearer.objects.filter(workshop=workshop, erased_at__isnull=True).select_related("client")
    return (found.filter(client=client) if client else found).order_by("name", "pk")


def wearer_of(workshop: Workshop, pk: int) -> Wearer | None:
    return Wearer.objects.filter(workshop=workshop, pk=pk).select_related("client", "workshop").first()


def wearers_to_erase(workshop: Workshop, today: date) -> QuerySet[Wearer]:
    """Those whose measurements may be kept no longer."""
    return Wearer.objects.filter(workshop=workshop, keep_until_on__lt=today, erased_at__isnull=True).order_by(
        "keep_until_on", "pk"
    )


def workshops_that_erase(now: datetime) -> QuerySet[Workshop]:
    """Workshops that erase by themselves and have a wearer whose day may be past where they are."""
    latest_day = (now + timedelta(hours=14)).date()  # the furthest zone ahead of UTC
    due = Q(wearers__keep_until_on__lt=latest_day, wearers__erased_at__isnull=True)
    return Workshop.objects.filter(due, erase_when_due=True).distinct().order_by("pk")


def workshops_with_old_submissions(before: datetime) -> QuerySet[Workshop]:
    """Workshops that keep marks of pages sent before then."""
    return Workshop.objects.filter(submissions__sent_at__lt=before).distinct().order_by("pk")


def measurement_sets(wearer: Wearer) -> QuerySet[MeasurementSet]:
    """A wearer's sets, the newest first."""
    return (
        MeasurementSet.objects.filter(wearer=wearer).select_related("taken_by").order_by("-taken_on", "-pk")
    )


def measurement_set_of(workshop: Workshop, pk: int) -> MeasurementSet | None:
    return (
        MeasurementSet.objects.filter(workshop=workshop, pk=pk).select_related("wearer", "taken_by").first()
    )


def latest_measurements(wearer: Wearer) -> MeasurementSet | None:
    return measurement_sets(wearer).first()


def staff(workshop: Workshop, *, active_only: bool = True) -> QuerySet[Staff]:
    found = Staff.objects.filter(workshop=workshop).select_related("user")
    return (found.filter(active=True) if active_only else found).order_by("name", "pk")


def opening_hours(workshop: Workshop) -> QuerySet[OpeningHours]:
    return OpeningHours.objects.filter(workshop=workshop).order_by("weekday", "opens_at", "pk")


def log_of(workshop: Workshop, *, order_id: int | None = None) -> QuerySet[LogEntry]:
    """The log, the newest first; of one order where given."""
    found = LogEntry.objects.filter(workshop=workshop).select_related("staff")
    return (found if order_id is None else found.filter(order_id=order_id)).order_by("-at", "-pk")
