"""Amounts of money: how many decimals a currency has, and the one place where money is rounded.

An amount is a ``Decimal`` beside its currency code (ISO 4217). Nothing here is ever a float.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

from costing.errors import BadAmount, CostingError

ZERO = Decimal(0)
GREATEST_AMOUNT = Decimal(10) ** 11
"""No single amount of a workshop reaches this; a larger one is a slip of the keyboard."""

_NO_DECIMALS = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
_TWO_DECIMALS = (
    "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF "
    "CHE CHF CHW CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD "
    "GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL "
    "MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR "
    "PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP "
    "TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST XAD XCD XCG YER ZAR ZMW ZWG"
)
_THREE_DECIMALS = "BHD IQD JOD KWD LYD OMR TND"
_FOUR_DECIMALS = "CLF UYW"

MINOR_UNITS: dict[str, int] = {
    code: decimals
    for decimals, codes in ((0, _NO_DECIMALS), (2, _TWO_DECIMALS), (3, _THREE_DECIMALS), (4, _FOUR_DECIMALS))
    for code in codes.split()
}
"""Decimals of each currency.

Source: ISO 4217, list one; codes without a minor unit (gold, test codes) left out.
"""


class UnknownCurrency(CostingError):
    """A code that ISO 4217 does not list with a minor unit."""


def minor_units(currency: str) -> int:
    """Return the number of decimals of a currency (ISO 4217). Raises: UnknownCurrency."""
    try:
        return MINOR_UNITS[currency]
    except KeyError:
        raise UnknownCurrency(
            f"{currency!r} is not a currency of ISO 4217; use its three capital letters, such as EUR or XOF.",
            field="currency",
        ) from None


def minor_unit(currency: str) -> Decimal:
    """Return the smallest amount of a currency: 0.01 for EUR, 1 for XOF. Raises: UnknownCurrency."""
    return Decimal(1).scaleb(-minor_units(currency))


def rounded(amount: Decimal, currency: str) -> Decimal:
    """Round an amount to the minor unit of its currency, halves away from zero.

    What is kept of money is rounded here alone.

    Raises:
        UnknownCurrency: the code is not in ISO 4217.
        BadAmount: the amount is not finite, or too large to be meant.

    Source: EN 16931 (amounts of a document have the currency's decimals; halves go up).
    """
    refuse_no_number(amount, field="")
    if abs(amount) >= GREATEST_AMOUNT:
        raise BadAmount(f"An amount must stay below {GREATEST_AMOUNT:,}; check for a digit too many.")
    return as_shown(amount, currency)


def as_shown(amount: Decimal, currency: str) -> Decimal:
    """Return an amount, or a sum of many, with its currency's decimals, however great it is.

    Raises: UnknownCurrency; BadAmount where it is no number.
    """
    refuse_no_number(amount, field="")
    # Adding zero turns -0.00 into 0.00.
    return amount.quantize(minor_unit(currency), rounding=ROUND_HALF_UP) + ZERO


def is_rounded(amount: Decimal, currency: str) -> bool:
    """Whether an amount has no fraction of a minor unit."""
    return amount == rounded(amount, currency)


def next_step(amount: Decimal, step: Decimal) -> Decimal:
    """Return the lowest multiple of ``step`` that is not below ``amount``; the amount itself without a step.

    Raises: BadAmount where the step is negative.
    """
    if step < 0:
        raise BadAmount(
            "The rounding step of a price cannot be negative; use 0 for none.", field="friendly_step"
        )
    if step == 0:
        return amount
    return (amount / step).to_integral_value(rounding=ROUND_CEILING) * step


def shared_out(amount: Decimal, weights: Sequence[Decimal], currency: str) -> tuple[Decimal, ...]:
    """Split a rounded amount in proportion to weights, so that the parts sum to it to the minor unit.

    Each part is the difference of two rounded running totals: no part is off by more than one minor unit.

    Raises: BadAmount where no weight is positive, or one is negative.
    """
    whole = sum(weights, ZERO)
    if whole <= 0 or min(weights) < 0:
        raise BadAmount("An amount can only be shared out over shares of which at least one is above zero.")
    parts: list[Decimal] = []
    running = reached = ZERO
    for weight in weights:
        running += weight
        mark = rounded(amount * running / whole, currency)
        parts.append(mark - reached)
        reached = mark
    return tuple(parts)


def refuse_no_number(value: Decimal | None, *, field: str) -> None:
    """Raises: BadAmount for what is not finite. None, for nothing given, passes."""
    if value is not None and not value.is_finite():
        raise BadAmount("An amount or a share must be a number.", field=field)


def refuse_amount(amount: Decimal, currency: str, *, field: str) -> None:
    """Raises: BadAmount for what is not above zero, or finer than the minor unit."""
    if not amount.is_finite() or amount <= 0:
        raise BadAmount("An amount is above zero.", field=field)
    if not is_rounded(amount, currency):
        raise BadAmount(f"{currency} has {minor_units(currency)} decimals.", field=field)


def read_amount(text: str | Decimal | int, currency: str, *, field: str = "amount") -> Decimal:
    """Read an amount of money as somebody types it: ``1250``, ``1,250.50``, ``1 250,50``.

    A comma or point that stands before three digits marks thousands where the currency has fewer than three
    decimals (``1.250`` is twelve hundred and fifty euros); otherwise the last one marks the decimals.

    Raises: BadAmount for anything that is not a positive amount or zero, is too large, or is finer than the
    minor unit.
    """
    if isinstance(text, float):
        raise BadAmount(
            "Give the amount as text or a Decimal: a float cannot hold money exactly.", field=field
        )
    plain = _without_thousands(text, currency) if isinstance(text, str) else str(text)
    if isinstance(text, str) and not _DIGITS.fullmatch(plain):
        raise BadAmount(f"{text[:30]!r} is not an amount; write it like 1250.50.", field=field)
    amount = Decimal(plain)
    if not amount.is_finite() or amount < 0:
        raise BadAmount("An amount must be a number that is zero or more.", field=field)
    if amount >= GREATEST_AMOUNT:
        raise BadAmount(
            f"An amount must stay below {GREATEST_AMOUNT:,}; check for a digit too many.", field=field
        )
    if not is_rounded(amount, currency):
        raise BadAmount(
            f"{currency} has {minor_units(currency)} decimals; {plain} is finer than that.", field=field
        )
    return rounded(amount, currency)


_DIGITS = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)")
_GROUPED = {mark: re.compile(rf"[+-]?\d{{1,3}}([{mark}]\d{{2,3}})*[{mark}]\d{{3}}") for mark in ",."}
"""Digits parted by a mark for thousands: in threes, in India in twos above the last three."""


def _without_thousands(text: str, currency: str) -> str:
    """The text with a point for its decimals and no other mark; as it is where its marks make no sense."""
    text = "".join(text.split()).replace("'", "").replace("\u2019", "")
    if "," in text and "." in text:
        thousands, decimal = (",", ".") if text.rfind(".") > text.rfind(",") else (".", ",")
        head, _, tail = text.rpartition(decimal)
        return f"{head.replace(thousands, '')}.{tail}" if _GROUPED[thousands].fullmatch(head) else text
    for mark in ",.":
        head, found, tail = text.rpartition(mark)
        if not found:
            continue
        in_threes = minor_units(currency) < 3 and head not in {"", "0"}
        if (mark in head or in_threes) and _GROUPED[mark].fullmatch(text):
            return text.replace(mark, "")
        return f"{head}.{tail}"
    return text


def format_money(
    amount: Decimal,
    currency: str,
    *,
    with_code: bool = True,
    decimal_mark: str = ".",
    thousands_mark: str = ",",
) -> str:
    """Write an amount with its currency's decimals: ``EUR 1,234.50``, ``XOF 185,000``, ``−3.00``.

    The code stands before the amount, held to it by a no-break space, as the same sign ($, £, kr) means
    different money in different places. A sum of many amounts may be greater than any of them may be.

    Raises: UnknownCurrency; BadAmount where it is no number.
    """
    value = as_shown(amount, currency)
    digits = f"{abs(value):,.{minor_units(currency)}f}"
    swapped = digits.translate({ord(","): thousands_mark, ord("."): decimal_mark})
    sign = "\u2212" if value < 0 else ""
    return f"{currency}\u00a0{sign}{swapped}" if with_code else f"{sign}{swapped}"
