"""A large plan split by time: one window of work after another is planned anew around the rest.

A window is so many orders that begin about the same time. They are taken out and put back another way as long
as that costs less, while all else stays where it is: what earlier windows settled, and what comes later as it
was known. So each window is as hard as a small workshop, however large the whole. Each reaches over half of
the one before, so that no order is settled by the edge of a window alone. (A rolling horizon: common
practice, no source.)
"""

from __future__ import annotations

from .compiled import Compiled
from .dispatch import Dispatched
from .problem import WEIGHT_STEPS, tidy
from .recreate import rearrange
from .search import Limit, seeded
from .table import Table

NAME = "planned by windows"
WINDOW = 100
"""So many orders are a window."""


def plan_in_windows(compiled: Compiled, known: Dispatched, *, seed: int, limit: Limit) -> Dispatched:
    """Return the known plan with one window after another planned anew; never a later one. Windows share the
    time."""
    table, chance = Table(compiled, known.places), seeded(seed)
    orders = range(len(table.works))
    line = sorted(orders, key=table.starts_at)
    firsts = range(0, len(line), WINDOW // 2)
    for number, first in enumerate(firsts):
        share = limit.next_of(len(firsts) - number)
        rearrange(table, line[first : first + WINDOW], chance=chance, stop=share.is_over)
    return Dispatched(NAME, compiled.places(table.flat), tidy(sum(map(table.late, orders)) / WEIGHT_STEPS))
