"""What holds a garment's work back that no work of the workshop's own can bring on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from workshop.orders.rules.stages import Facts

BEFORE_SEWING = ("measure", "draft", "cut")


@dataclass(frozen=True, slots=True)
class Block:
    """What is waited for, and whether only the work after the fitting waits, or all that is left."""

    words: str
    after_fitting: bool = False


def blocks(facts: Facts) -> tuple[Block, ...]:
    """Return what the garment waits for: an answer, a deposit, cloth to buy or on its way, a fitting."""
    return () if facts.cancelled else tuple(_blocks(facts))


def _blocks(facts: Facts) -> Iterator[Block]:
    if facts.stage in BEFORE_SEWING:
        if facts.quote == "sent":
            late = ", which ran out" if facts.quote_expired else ""
            yield Block(f"an answer to the quote{late}")
        if facts.quote == "accepted" and facts.deposit_needed and not facts.deposit_in:
            yield Block("the deposit")
        if facts.cloth_lacking:
            yield Block(f"cloth: {', '.join(facts.cloth_lacking)}")
        if facts.cloth_coming:
            yield Block(f"cloth on its way: {'; '.join(facts.cloth_coming)}")
    if facts.stage in {"sew", "fit"} and facts.finishing_left and not facts.fits:
        when = (
            f"the fitting on {facts.fitting_booked}" if facts.fitting_booked else "a fitting: none is booked"
        )
        yield Block(when, after_fitting=True)
