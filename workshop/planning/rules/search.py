"""What a search is allowed: how long, and which seeded chance.

Only this module of the rules looks at a clock or draws numbers. A search is given its seconds by whoever
asks, and its result depends on chance only through the seed.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

Chance = random.Random


def seeded(seed: int) -> Chance:
    """Return numbers that are the same for the same seed."""
    return random.Random(seed)


@dataclass(frozen=True, slots=True)
class Limit:
    """From when, how long, and who may end it sooner."""

    seconds: float
    cancelled: Callable[[], bool] | None
    began: float

    @classmethod
    def of(cls, seconds: float, cancelled: Callable[[], bool] | None = None) -> Limit:
        """Return a limit that begins now."""
        return cls(seconds, cancelled, time.perf_counter())

    @property
    def spent(self) -> float:
        return time.perf_counter() - self.began

    @property
    def left(self) -> float:
        return self.seconds - self.spent

    def share(self, share: float) -> Limit:
        """Return the limit that ends after that share of the time."""
        return replace(self, seconds=self.seconds * share)

    def next_of(self, parts: int) -> Limit:
        """Return the limit of the next of so many parts among which what is left is shared."""
        return replace(self, seconds=self.spent + max(0.0, self.left) / parts)

    def is_over(self) -> bool:
        return self.left <= 0 or (self.cancelled is not None and self.cancelled())
