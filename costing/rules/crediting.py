"""What a credit note takes back: all that is left of an invoice, or amounts of chosen lines.

Amounts are given with tax, as they were agreed. Under no tax rate is more taken back than is left, so that
invoice and credit notes together never fall below nothing.

Source: arithmetic of EN 16931 as in ``tax``; what may be credited is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.errors import BadAmount, CostingError
from costing.rules.money import ZERO, format_money, minor_unit, refuse_amount, shared_out
from costing.rules.tax import TaxedLine, TaxKey, Totals, net_of, tax_on, totals_to

SLACK = 3
"""Minor units that a net amount may be moved by, so that the last part takes exactly what is left."""


class MoreThanLeft(CostingError):
    """More would be taken back than the invoice, or one of its lines, has left."""


@dataclass(frozen=True, slots=True)
class Left:
    """What is left of a line: its net amount after earlier credit notes, and its tax group."""

    net: Decimal
    key: TaxKey

    def gross(self, currency: str) -> Decimal:
        """With tax: the most that can be taken back of the line."""
        return self.net + tax_on(self.net, self.key.rate, currency)


@dataclass(frozen=True, slots=True)
class Credited:
    """A line of a credit note: position in the invoice (from 0), and what it takes back without tax."""

    position: int
    net: Decimal
    key: TaxKey


def all_left(lines: Sequence[Left], left: Decimal, currency: str) -> tuple[list[Credited], Totals]:
    """Take back everything; ``left`` is what the invoice still comes to, and so what the note comes to."""
    rows = [Credited(place, line.net, line.key) for place, line in enumerate(lines) if line.net]
    return rows, _totals(rows, left, currency)


def part_left(
    lines: Sequence[Left], left: Decimal, parts: Mapping[int, Decimal], currency: str
) -> tuple[list[Credited], Totals]:
    """Take back amounts with tax, by position of their line.

    Where nothing is left of any line, the note comes to what is left of the invoice: lines that are rounded
    one by one may differ from their sum by a minor unit.

    Raises:
        BadAmount: nothing is chosen, or an amount is not above zero or finer than the currency.
        MoreThanLeft: a line, its tax rate or the whole invoice has less left.
    """
    if not parts:
        raise BadAmount("Write at least one amount to take back.", field="parts")
    rows = [_part(place, lines, amount, currency) for place, amount in sorted(parts.items())]
    wanted = sum(parts.values(), ZERO)
    if wanted > left:
        raise MoreThanLeft(f"Only {format_money(left, currency)} of this invoice is left.", field="parts")
    if wanted == left:
        rows = _exhausting(rows, lines, currency)
    elif _nets(rows) == _nets(lines) and left - wanted <= SLACK * minor_unit(currency):
        wanted = left
    for key, net in _nets(rows).items():
        if net > _nets(lines).get(key, ZERO):
            raise MoreThanLeft(
                f"Under {key.rate:f} % less than that is left: earlier invoices took the rest off.",
                field="parts",
            )
    return rows, _totals(rows, wanted, currency)


def lowered_nets(
    nets: Sequence[Decimal], taken: Iterable[tuple[int | None, Decimal]], currency: str
) -> list[Decimal]:
    """Return the net price of each garment once amounts were taken off.

    ``taken``: place of the garment, from 0, and the net amount; None for the place where it is taken off the
    order as a whole: it is shared out by price (common practice, no source).
    """
    left = list(nets)
    for place, net in taken:
        if place is not None:
            left[place] -= net
        elif any(nets):
            left = [a - b for a, b in zip(left, shared_out(net, nets, currency), strict=True)]
    return left


def _part(place: int, lines: Sequence[Left], amount: Decimal, currency: str) -> Credited:
    field = f"part-{place}"
    if not 0 <= place < len(lines):
        raise BadAmount("The invoice has no such line.", field="parts")
    refuse_amount(amount, currency, field=field)
    line = lines[place]
    most = line.gross(currency)
    if amount > most:
        raise MoreThanLeft(
            f"Only {format_money(max(most, ZERO), currency)} of this line is left.", field=field
        )
    net = line.net if amount == most else min(net_of(amount, line.key.rate, currency), line.net)
    return Credited(place, net, line.key)


def _exhausting(rows: Sequence[Credited], lines: Sequence[Left], currency: str) -> list[Credited]:
    """The same rows, their nets moved by the minor units that make each group end at nothing.

    Raises: MoreThanLeft where the groups would not end there: then only all of it can be taken back.
    """
    moved = list(rows)
    for key, net_left in _nets(lines).items():
        rest = net_left - _nets(rows).get(key, ZERO)
        own = [place for place, row in enumerate(moved) if row.key == key]
        if rest and (not own or abs(rest) > SLACK * minor_unit(currency)):
            raise MoreThanLeft(
                "Take back all that is left: its tax rates cannot be parted so.", field="parts"
            )
        if rest:
            largest = max(own, key=lambda place: moved[place].net)
            row = moved[largest]
            moved[largest] = Credited(row.position, row.net + rest, row.key)
    return moved


def _nets(rows: Sequence[Credited] | Sequence[Left]) -> dict[TaxKey, Decimal]:
    nets: dict[TaxKey, Decimal] = {}
    for row in rows:
        nets[row.key] = nets.get(row.key, ZERO) + row.net
    return nets


def _totals(rows: Sequence[Credited], payable: Decimal, currency: str) -> Totals:
    return totals_to(payable, [TaxedLine(row.net, row.key) for row in rows], currency=currency)
