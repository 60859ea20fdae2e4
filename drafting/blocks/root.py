"""Where a function that rises passes zero."""

from __future__ import annotations

from collections.abc import Callable

_CLOSE = 1e-10
_MOST = 200


def rising_root(f: Callable[[float], float], low: float, high: float) -> float:
    """Return where ``f``, which rises from ``low`` to ``high``, is zero; to 1e-10 of the bracket.

    Raises: ValueError where ``f`` has one sign at both ends.

    Source: false position with a stale end made less (the rule of Anderson and Bjoerck), numerical analysis.
    """
    at_low, at_high = f(low), f(high)
    if at_low > 0 or at_high < 0:
        raise ValueError(f"no zero between {low:g} and {high:g}")
    slack, stale = _CLOSE * (high - low), 0
    for _ in range(_MOST):
        if high - low <= slack or at_high - at_low <= 0:
            break
        middle = low - at_low * (high - low) / (at_high - at_low)
        value = f(middle)
        if value == 0:
            return middle
        if value < 0:
            at_high *= _kept(value, at_low) if stale < 0 else 1.0
            low, at_low, stale = middle, value, -1
        else:
            at_low *= _kept(value, at_high) if stale > 0 else 1.0
            high, at_high, stale = middle, value, 1
        if abs(value) <= _CLOSE:
            return middle
    return (low + high) / 2


def _kept(value: float, before: float) -> float:
    """The share of a stale end's value that is kept after the other end went from ``before`` to ``value``."""
    share = 1.0 - value / before
    return share if share > 0 else 0.5
