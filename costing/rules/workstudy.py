"""Work study: from an observed or computed time to a standard time. Any one unit of time.

Source: the definitions of work study (ILO, Introduction to Work Study): normal time = observed x rating;
standard time adds an allowance for personal needs and fatigue.
"""

from __future__ import annotations

from costing.errors import BadAmount

PERSONAL_AND_FATIGUE = 0.09
"""Allowances: personal needs 5 %, basic fatigue 4 % (ILO, Introduction to Work Study, from memory)."""


def normal_time(observed: float, rating: float) -> float:
    """Return observed time x rating; a rating of 1.2 is a worker a fifth faster than the standard pace."""
    if not rating > 0:
        raise BadAmount("A rating of pace must be above zero; 1 is the standard pace.", field="rating")
    return observed * rating


def standard_time(normal: float, allowance: float) -> float:
    """Return normal time x (1 + allowance): the allowance is a share of the time worked."""
    if not allowance >= 0:
        raise BadAmount("An allowance cannot be negative.", field="allowance")
    return normal * (1 + allowance)


def standard_time_of_shift(normal: float, allowance: float) -> float:
    """Return normal time / (1 - allowance): the allowance is a share of the time present."""
    if not 0 <= allowance < 1:
        raise BadAmount("An allowance on the shift must be from 0 to below 1.", field="allowance")
    return normal / (1 - allowance)


def running_minutes(length_mm: float, *, stitches_per_cm: float, stitches_per_minute: float) -> float:
    """Return the minutes for which a machine runs over a seam: stitches / speed.

    Args:
        length_mm: seam length, mm.
        stitches_per_cm: stitch density.
        stitches_per_minute: speed of the machine while it runs.

    Source: stitches = density x length; 4 per cm over 200 cm in 12 s is 4000 a minute (published worked
    case).
    """
    return length_mm / 10 * stitches_per_cm / stitches_per_minute
