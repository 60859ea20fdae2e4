"""What is to buy: what garments lack of one thing, less what lies free for them."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date
from math import ceil

SLACK = 0.5
"""Two lengths that differ by less (mm) are the same to a pair of shears; notions are whole."""


@dataclass(frozen=True, slots=True)
class Want:
    """What is lacking of one cloth (mm) or notion (pieces), and the day by which it is needed.

    Garments that are laid together want one length together.
    """

    garment_ids: tuple[int, ...]
    amount: float
    needed_on: date


@dataclass(frozen=True, slots=True)
class Share:
    """The wants of one thing, parted: those that what lies free serves, and those to buy for."""

    served: tuple[Want, ...]
    to_buy: tuple[Want, ...]

    @property
    def needed_on(self) -> date | None:
        """The day by which something must be bought; None where nothing must."""
        return min((want.needed_on for want in self.to_buy), default=None)


def shared_out(wants: Iterable[Want], lengths: Iterable[float]) -> Share:
    """Give the lengths that lie free to the wants, needed first: the shortest that is long enough, or none.

    A lay is cut from one length, so remnants are joined neither to each other nor to what is bought.
    """
    served, to_buy, left = [], [], sorted(lengths)
    for want in sorted(wants, key=lambda want: (want.needed_on, want.garment_ids)):
        enough = [number for number, mm in enumerate(left) if want.amount <= mm + SLACK]
        if not enough:
            to_buy.append(want)
            continue
        left[enough[0]] -= want.amount
        left.sort()
        served.append(want)
    return Share(tuple(served), tuple(to_buy))


def still_to_buy(wants: Iterable[Want], parcels: Iterable[tuple[Collection[int], float]]) -> tuple[Want, ...]:
    """Return the wants that nothing on its way serves.

    Each of ``parcels``, the keys of the garments that it is for and its length, serves those alone.
    """
    left = list(wants)
    for garment_ids, length in parcels:
        mine = [want for want in left if set(want.garment_ids) <= set(garment_ids)]
        served = shared_out(mine, [length]).served
        left = [want for want in left if want not in served]
    return tuple(left)


def days_until_here(own: int | None, usual: int) -> int:
    """Return the days of the calendar from an order until it is here: its own, or else the workshop's."""
    return usual if own is None else own


def amount_to_buy(wants: Iterable[Want], step: float) -> float:
    """Return the sum of what is lacking, up to a whole multiple of ``step`` as the seller cuts it."""
    return as_sold(sum(want.amount for want in wants), step)


def as_sold(amount: float, step: float) -> float:
    """Return an amount up to a whole multiple of ``step``, both in mm or pieces."""
    # A sum of exactly so many steps must not be rounded up by the last bit of a float.
    return round(ceil(amount / step - 1e-6) * step, 3)
