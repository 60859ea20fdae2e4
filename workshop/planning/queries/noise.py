"""How far the workshop's own tasks took from what was planned for them."""

from __future__ import annotations

from workshop.people.models import Workshop
from workshop.planning.queries.learnt import learnt_of
from workshop.planning.rules.noise import KnownNoise, known_noise


def noise_of(workshop: Workshop) -> dict[str, KnownNoise]:
    """Return the noise of each kind of work, in two queries."""
    return known_noise(learnt_of(workshop))
