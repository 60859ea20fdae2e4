"""Cautions that go with a draft. The product reminds and defers: it never certifies."""

from __future__ import annotations

from drafting.body import Body
from drafting.pattern import Draft

_YOUNG_YEARS, _YOUNG_STATURE = 7.0, 1340.0  # EN 14682: up to 7 years or 134 cm
_CHILD_YEARS = 14.0


def is_young(body: Body) -> bool:
    """Up to 7 years; where nobody said the age, up to 134 cm. Source: EN 14682 (summaries)."""
    if body.age_years is None:
        return body["stature"] <= _YOUNG_STATURE
    return body.age_years < _YOUNG_YEARS


def cautions(draft: Draft) -> tuple[str, ...]:
    """What to mind with this wearer and this garment. Source: EN 14682 (summaries)."""
    said = []
    body = draft.body
    age = body.age_years
    if is_young(body):
        said.append(
            "Up to 7 years or 134 cm: no cords, ribbons or ties at neck, head or collar (EN 14682); check "
            "your local rules."
        )
    elif body.is_child or (age is not None and age < _CHILD_YEARS):
        said.append("7 to 14 years: no cords with free ends at the neck (EN 14682); check your local rules.")
    if body.is_child and any(need.kind in {"button", "hook"} for need in draft.notions):
        said.append(
            "Buttons, hooks and eyes of a child's dress: sew them on with a thread shank, knot the ends, and "
            "pull each one to test it; a small part that comes off can choke a child under three. Check your "
            "local rules."
        )
    if body.is_child:
        said.append("Not for sleep: sleepwear has flammability rules of its own, which differ by country.")
    return tuple(said)
