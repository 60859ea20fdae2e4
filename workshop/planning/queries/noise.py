"""How far the workshop's own tasks took from what was planned for them."""

from __future__ import annotations

from datetime import timedelta

from django.db.models import DurationField, ExpressionWrapper, F, Sum

from workshop.people.models import Workshop
from workshop.planning.models import Task
from workshop.planning.rules.noise import KnownNoise, Timed, known_noise

MOST_READ = 600
"""The newest finished tasks that are read: how a workshop worked years ago says little."""


def noise_of(workshop: Workshop) -> dict[str, KnownNoise]:
    """Return the noise of each kind of work, in one query."""
    length = ExpressionWrapper(
        F("time_entries__ended_at") - F("time_entries__started_at"), output_field=DurationField()
    )
    rows = (
        Task.objects.filter(
            workshop=workshop,
            done_at__isnull=False,
            time_entries__ended_at__isnull=False,
            staff__isnull=False,
        )
        .annotate(spent=Sum(length))
        .order_by("-done_at", "-pk")
        .values_list("group", "minutes_planned", "staff__speed", "spent")[:MOST_READ]
    )
    return known_noise(
        Timed(group, planned / float(speed), spent / timedelta(minutes=1))
        for group, planned, speed, spent in rows
    )
