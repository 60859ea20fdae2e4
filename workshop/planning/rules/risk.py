"""How likely a garment is to be late, in words, and when that is worth a warning."""

from __future__ import annotations

TURNS_AT = 25
"""Percent from which the owner is warned: one in four, far from the one in ten that a promise allows. Common
practice, no source."""

_WORDS = (
    (10, "little risk of being late"),
    (TURNS_AT, "some risk of being late"),
    (60, "at risk of being late"),
    (101, "likely late"),
)


def risk_words(percent: int) -> str:
    """Return what a risk of being late is called, with its percent of the simulated runs."""
    words = next(words for below, words in _WORDS if percent < below)
    return f"{words} ({percent} %)"


def is_turned(percent: int) -> bool:
    """Tell whether the owner should be warned of the risk."""
    return percent >= TURNS_AT
