"""How likely a garment is to be late, in words, and when that is worth a warning."""

from __future__ import annotations

TURNS_AT = 25
"""Percent from which the owner is warned: one in four, far from the one in ten that a promise allows. Common
practice, no source."""

_WORDS = ((10, "little risk"), (TURNS_AT, "some risk"), (60, "at risk"), (101, "likely late"))


def risk_words(percent: int) -> str:
    """Return what a risk of being late is called: percent of the simulated runs."""
    return next(words for below, words in _WORDS if percent < below)


def is_turned(percent: int) -> bool:
    """Tell whether the owner should be warned of the risk."""
    return percent >= TURNS_AT
