"""Check 6: a sleeve's cap is longer than its armhole by the intended ease, which lies between the notches."""

from __future__ import annotations

from typing import Final

from drafting.finishing.walk import walked_notches
from drafting.pattern import Check, Draft, Seam
from drafting.truing.roles import Role, of_role
from drafting.truing.seams import length_error

EASE_LIMIT: Final = 1.0  # mm
BELOW_LIMIT: Final = 1.0  # mm of ease outside the notches


def sleeve_checks(draft: Draft) -> list[Check]:
    """Return two rows for each seam of a cap and an armhole."""
    return [row for seam in of_role(draft, Role.SLEEVE) for row in _of_sleeve(draft, seam)]


def _of_sleeve(draft: Draft, seam: Seam) -> list[Check]:
    return [
        Check(f"sleeve cap ease: {seam.name}", length_error(draft, seam), EASE_LIMIT),
        Check(
            f"sleeve cap ease lies between the notches: {seam.name}", _ease_below(draft, seam), BELOW_LIMIT
        ),
    ]


def _ease_below(draft: Draft, seam: Seam) -> float:
    """The greatest ease before the first and after the last notch, mm; all of it where a side has none."""
    on_a, on_b = walked_notches(draft, seam.a), walked_notches(draft, seam.b)
    if not on_a or not on_b:
        return abs(seam.ease)
    before = abs(on_a[0].at - on_b[0].at)
    after_a = draft.side_length(seam.a) - on_a[-1].at
    after_b = draft.side_length(seam.b) - on_b[-1].at
    return max(before, abs(after_a - after_b))
