"""The six stages: which moves there are, what each asks for, and what is needed next.

A guard looks at the facts of one garment and says in words what is missing; None where nothing is.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

STAGES = ("measure", "draft", "cut", "sew", "fit", "deliver")
DELIVERED = "delivered"


@dataclass(frozen=True, slots=True)
class Facts:
    """What is known of a garment when it is asked whether it may move."""

    stage: str
    wearer: str = ""
    cancelled: bool = False
    measured: bool = False
    drafted: bool = False
    checks_failed: int = 0
    checks_waived: bool = False
    quote: str = "none"  # none, open, sent, accepted, declined, superseded, withdrawn
    quote_expired: bool = False
    quote_outdated: bool = False  # accepted, but the garment was changed afterwards
    deposit_needed: bool = False
    deposit_in: bool = False
    laid: bool = False
    cloth_unchosen: tuple[str, ...] = ()  # shell, lining or interfacing without a cloth
    cloth_lacking: tuple[str, ...] = ()  # what is to buy, in words: 2.5 m of Satin
    cloth_days: int = 0  # until all that is to buy is here, once it is ordered
    cloth_coming: tuple[str, ...] = ()  # what is on its way, in words: 2.5 m of Satin, expected Tue 1 Dec
    cloth_on: date | None = None  # when the last of that is expected
    cutting_lines: int = 0
    lines_left: int = 0
    tasks: int = 0
    sewing_left: int = 0  # tasks before the fitting that are not done
    finishing_left: int = 0  # tasks after it
    fitting_booked: str = ""  # in words: Monday 3 May, 10:00
    fits: bool = False
    settled: bool = False
    due_words: str = ""  # what is still to pay


Guard = Callable[[Facts], str | None]


@dataclass(frozen=True, slots=True)
class Rule:
    """One move. ``waivable`` names the guards that the owner's word overrides."""

    start: str
    to: str
    guards: tuple[Guard, ...] = ()
    waivable: tuple[Guard, ...] = ()
    back: bool = False


def is_measured(facts: Facts) -> str | None:
    return None if facts.measured else f"Measure {facts.wearer}."


def is_drafted(facts: Facts) -> str | None:
    return None if facts.drafted else "Draft the pattern."


def checks_hold(facts: Facts) -> str | None:
    if not facts.drafted or not facts.checks_failed or facts.checks_waived:
        return None
    return f"{facts.checks_failed} checks of the draft failed: mend the measurements, or waive them."


def quote_is_accepted(facts: Facts) -> str | None:
    if facts.quote == "accepted":
        return (
            "The garment was changed after the quote was accepted: send a new version."
            if facts.quote_outdated
            else None
        )
    if facts.quote == "sent":
        if facts.quote_expired:
            return "The quote ran out without an answer: send a new version."
        return "The customer has not answered the quote yet."
    if facts.quote == "open":
        return "Send the quote."
    if facts.quote == "declined":
        return "The quote was declined: send a new version or cancel the order."
    return "Prepare the quote."


def deposit_is_in(facts: Facts) -> str | None:
    if not facts.deposit_needed or facts.deposit_in:
        return None
    return "The deposit is not in yet."


def cloth_is_there(facts: Facts) -> str | None:
    if not facts.drafted:
        return None
    if facts.cloth_unchosen:
        return f"Choose the cloth for the {' and the '.join(facts.cloth_unchosen)}."
    if not facts.laid:
        return "Make the lay plans, so that it is known how much cloth it takes."
    if facts.cloth_lacking:
        return "Buy cloth: " + "; ".join(facts.cloth_lacking) + "."
    if facts.cloth_coming:
        return "Wait for cloth: " + "; ".join(facts.cloth_coming) + "."
    return None


def all_is_cut(facts: Facts) -> str | None:
    if facts.cutting_lines and not facts.lines_left:
        return None
    return f"{facts.lines_left} of {facts.cutting_lines} lines of the cutting list are not cut yet."


def sewn_for_fitting(facts: Facts) -> str | None:
    if not facts.sewing_left:
        return None
    return f"{facts.sewing_left} tasks before the fitting are not done yet."


def it_fits(facts: Facts) -> str | None:
    if facts.fits:
        return None
    if facts.fitting_booked:
        return f"The fitting is on {facts.fitting_booked}."
    return "Book a fitting and try it on."


def it_is_finished(facts: Facts) -> str | None:
    return f"{facts.finishing_left} tasks are not done yet." if facts.finishing_left else None


def money_is_settled(facts: Facts) -> str | None:
    if facts.settled:
        return None
    if facts.quote != "accepted":
        return "No price is agreed: the quote is not accepted."
    return f"{facts.due_words} is still to pay."


RULES = (
    Rule("measure", "draft", (is_measured,)),
    Rule(
        "draft",
        "cut",
        (is_drafted, checks_hold, quote_is_accepted, deposit_is_in, cloth_is_there),
        waivable=(deposit_is_in,),
    ),
    Rule("cut", "sew", (all_is_cut,)),
    Rule("sew", "fit", (sewn_for_fitting,)),
    Rule("fit", "deliver", (it_fits,), waivable=(it_fits,)),
    Rule("deliver", DELIVERED, (it_is_finished, money_is_settled), waivable=(money_is_settled,)),
    Rule("draft", "measure", back=True),
    Rule("cut", "draft", back=True),
    Rule("sew", "cut", back=True),
    Rule("fit", "sew", back=True),
    Rule("fit", "cut", back=True),
    Rule("fit", "measure", back=True),
    Rule("deliver", "sew", back=True),
)


def rule_for(start: str, to: str) -> Rule | None:
    """The rule of a move; None where there is no such move."""
    return next((rule for rule in RULES if (rule.start, rule.to) == (start, to)), None)


def refusals(rule: Rule, facts: Facts) -> list[str]:
    """What is missing for a move; empty where it may be made."""
    if facts.cancelled:
        return ["The order was cancelled."]
    return [words for guard in rule.guards if (words := guard(facts)) is not None]


def is_waivable(rule: Rule, facts: Facts) -> bool:
    """Whether the owner's word is enough: all that is missing is hers to waive."""
    missing = [guard for guard in rule.guards if guard(facts) is not None]
    return bool(missing) and not facts.cancelled and all(guard in rule.waivable for guard in missing)


def moves_from(stage: str) -> tuple[Rule, ...]:
    """The moves of a stage: onward first, then back."""
    found = [rule for rule in RULES if rule.start == stage]
    return tuple(sorted(found, key=lambda rule: rule.back))


def next_need(facts: Facts) -> str:
    """The next thing that a garment needs, in words for the rail."""
    if facts.cancelled:
        return "Cancelled."
    if facts.stage == DELIVERED:
        return "Delivered."
    onward = moves_from(facts.stage)[0]
    missing = refusals(onward, facts)
    if missing:
        return missing[0]
    return "Hand it over." if onward.to == DELIVERED else f"Ready: move it to {onward.to}."


def progress_words(stage: str) -> str:
    """Where a garment is, in words for the customer."""
    return {
        "measure": "We will measure you next.",
        "draft": "The pattern is being drafted.",
        "cut": "The pattern is drawn; the cloth is being cut.",
        "sew": "It is being sewn.",
        "fit": "It is ready to be tried on.",
        "deliver": "It fits; the last stitches are being made.",
        DELIVERED: "It is with you. Wear it well.",
    }[stage]
