"""Tax by rate group, and the totals of a document.

The names in square brackets are the business terms and rules of EN 16931-1, whose arithmetic this follows.
The workshop's owner sets rates and categories; which apply is a matter of local law.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from costing.errors import BadAmount, CostingError
from costing.rules.money import ZERO, minor_unit, rounded, shared_out

STANDARD, EXEMPT, ZERO_RATED = "S", "E", "Z"
"""Categories of a line that is taxed, of one that is not, and of one that is taxed at 0 %.

Others of the list EN 16931 uses (UNTDID 5305): AE reverse charge, O out of scope.
"""


class TotalsDisagree(CostingError):
    """Amounts that do not add up; they are never stored or printed."""


@dataclass(frozen=True, slots=True, order=True)
class TaxKey:
    """What puts lines into one group: category and rate in percent."""

    category: str
    rate: Decimal

    def __post_init__(self) -> None:
        if not self.rate.is_finite() or not 0 <= self.rate <= 100:
            raise BadAmount("A tax rate is a percentage from 0 to 100.", field="tax_rate")

    @classmethod
    def of(cls, rate: Decimal, *, zero_rated: bool = False) -> TaxKey:
        """The usual key of a rate: standard where there is tax, exempt or zero rated where there is none."""
        without = ZERO_RATED if zero_rated else EXEMPT
        return cls(STANDARD if rate else without, Decimal(f"{rate.normalize():f}"))

    @classmethod
    def read(cls, row: Mapping[str, str]) -> TaxKey:
        """The key of a line or a group as a paper stores it."""
        return cls(row["category"], Decimal(row["rate"]))


@dataclass(frozen=True, slots=True)
class TaxedLine:
    """A line's net amount [BT-131] and its group."""

    net: Decimal
    key: TaxKey


@dataclass(frozen=True, slots=True)
class Adjustment:
    """An allowance [BT-92] or a charge [BT-99] on the whole document; the amount is never negative."""

    amount: Decimal
    key: TaxKey
    is_charge: bool = False
    reason: str = ""

    @property
    def signed(self) -> Decimal:
        return self.amount if self.is_charge else -self.amount


@dataclass(frozen=True, slots=True)
class TaxGroup:
    """Lines of one category and rate: taxable amount [BT-116] and tax [BT-117], rounded once [BR-CO-17].

    Raises: TotalsDisagree where the tax is not the rounded product.
    """

    key: TaxKey
    net: Decimal
    tax: Decimal
    currency: str

    def __post_init__(self) -> None:
        if self.tax != tax_on(self.net, self.key.rate, self.currency):
            raise TotalsDisagree(f"Tax of {self.tax} is not {self.key.rate} % of {self.net}, rounded once.")

    @property
    def gross(self) -> Decimal:
        return self.net + self.tax


@dataclass(frozen=True, slots=True)
class Totals:
    """The totals of a document, refused when built unless they add up.

    Args:
        lines_net: sum of line net amounts [BT-106].
        allowances: sum of allowances [BT-107].
        charges: sum of charges [BT-108].
        net: total without tax [BT-109].
        tax: total tax [BT-110].
        gross: total with tax [BT-112].
        prepaid: already paid [BT-113].
        rounding: added to reach the sum that was agreed [BT-114].
        due: amount due [BT-115].

    Raises: TotalsDisagree.
    """

    currency: str
    groups: tuple[TaxGroup, ...]
    lines_net: Decimal
    allowances: Decimal
    charges: Decimal
    net: Decimal
    tax: Decimal
    gross: Decimal
    prepaid: Decimal
    rounding: Decimal
    due: Decimal

    def __post_init__(self) -> None:
        holds = {
            "BR-CO-13": self.net == self.lines_net - self.allowances + self.charges,
            "BR-CO-14": self.tax == sum((group.tax for group in self.groups), ZERO),
            "BR-CO-15": self.gross == self.net + self.tax,
            "BR-CO-16": self.due == self.gross - self.prepaid + self.rounding,
            "BR-S-08": self.net == sum((group.net for group in self.groups), ZERO),
        }
        broken = [rule for rule, ok in holds.items() if not ok]
        if broken:
            raise TotalsDisagree(f"These totals do not add up ({', '.join(broken)}).")

    @property
    def payable(self) -> Decimal:
        """What the document comes to before anything was paid: gross with the agreed rounding."""
        return self.gross + self.rounding


def tax_on(net: Decimal, rate: Decimal, currency: str) -> Decimal:
    """Return the tax on a group's taxable amount, rounded once. Source: EN 16931, BR-CO-17."""
    return rounded(net * rate / 100, currency)


def net_of(gross: Decimal, rate: Decimal, currency: str) -> Decimal:
    """Return the net amount whose gross comes nearest to ``gross``.

    Not every gross amount can be reached: at 21 % a net of 82.64 makes 99.99 and 82.65 makes 100.01. The
    rest, at most one minor unit, is the document's rounding amount [BT-114].
    """
    near = rounded(gross * 100 / (100 + rate), currency)
    step = minor_unit(currency)
    return min(
        (near, near - step, near + step), key=lambda net: abs(net + tax_on(net, rate, currency) - gross)
    )


def split_gross(amount: Decimal, groups: Sequence[TaxGroup], currency: str) -> list[TaxedLine]:
    """Part an amount with tax by the groups' shares of the gross.

    A group with nothing left takes no part, and no group more than its net: the rest of a minor unit is the
    document's rounding amount [BT-114]. Common practice, no source; local rules may ask for another way.
    """
    open_groups = [group for group in groups if group.net > 0]
    weights = [group.gross for group in open_groups] or [Decimal(1)]
    shares = shared_out(amount, weights, currency)
    return [
        TaxedLine(min(net_of(share, group.key.rate, currency), group.net), group.key)
        for share, group in zip(shares, open_groups or groups[-1:], strict=True)
    ]


def totals(
    lines: Iterable[TaxedLine],
    *,
    currency: str,
    adjustments: Sequence[Adjustment] = (),
    prepaid: Decimal = ZERO,
    rounding: Decimal = ZERO,
) -> Totals:
    """Add up a document: tax per group on the sum of its nets, never the sum of taxes rounded line by line.

    Raises:
        BadAmount: an allowance or charge is negative (turn it into the other kind).
        TotalsDisagree: never for rounded input; it guards what is built.

    Source: EN 16931, BR-CO-10 to BR-CO-17 and BR-S-08.
    """
    if any(adjustment.amount < 0 for adjustment in adjustments):
        raise BadAmount("An allowance or a charge cannot be negative: enter it as the other kind.")
    nets: dict[TaxKey, Decimal] = {}
    lines_net = allowances = charges = ZERO
    for line in lines:
        nets[line.key] = nets.get(line.key, ZERO) + line.net
        lines_net += line.net
    for adjustment in adjustments:
        nets[adjustment.key] = nets.get(adjustment.key, ZERO) + adjustment.signed
        allowances += ZERO if adjustment.is_charge else adjustment.amount
        charges += adjustment.amount if adjustment.is_charge else ZERO
    groups = tuple(
        TaxGroup(key, net, tax_on(net, key.rate, currency), currency) for key, net in sorted(nets.items())
    )
    net = lines_net - allowances + charges
    tax = sum((group.tax for group in groups), ZERO)
    return Totals(
        currency=currency,
        groups=groups,
        lines_net=lines_net,
        allowances=allowances,
        charges=charges,
        net=net,
        tax=tax,
        gross=net + tax,
        prepaid=prepaid,
        rounding=rounding,
        due=net + tax - prepaid + rounding,
    )


def totals_to(payable: Decimal, lines: Iterable[TaxedLine], *, currency: str) -> Totals:
    """Add up a document that comes to an agreed sum: what its lines do not reach is its rounding [BT-114].

    Raises: as ``totals``.
    """
    plain = totals(lines, currency=currency)
    return replace(plain, rounding=payable - plain.gross, due=payable)
