"""What became of a case: right, refused with advice, or a fault; and how often each."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from drafting.body import FIT_NOTES
from drafting.errors import BadChoice, CannotDraft
from drafting.house import HOUSE_RULES
from drafting.styles import STYLES
from tests.drafting.styles.wearers import Case

RIGHT, REFUSED = "right", "refused"

# A refusal tells a dressmaker what would do: what to choose, allow or measure again, or where it must lie.
_ADVICE = re.compile(
    r"\b(choose|make it|measure|let|leave|allow|note|widen|must|at most|at least|goes with|between)\b", re.I
)
# Words of this code that are none of hers.
_CODE = re.compile(r"_|\bNone\b|\bnan\b|\binf\b|Error|\{|\}")


def fields(style: str) -> set[str]:
    """Where a refusal may lie: a choice, a house rule, a measurement or a fit note."""
    made = STYLES[style]
    return {choice.name for choice in made.choices} | set(HOUSE_RULES) | set(made.needs) | set(FIT_NOTES)


def outcome(case: Case) -> str:
    """``right``, ``refused``, or what is wrong with the draft or with the refusal."""
    return _told(case)[0]


def _told(case: Case) -> tuple[str, str]:
    """The outcome, and the field of a refusal."""
    try:
        draft = case.draft()
    except (CannotDraft, BadChoice) as refusal:
        return fault_of(refusal, case.style) or REFUSED, refusal.field
    faults = [f"{c.name}: {c.value:.3f} > {c.limit:g}" for c in draft.checks if not c.ok]
    return "; ".join(faults) or RIGHT, ""


def fault_of(refusal: CannotDraft | BadChoice, style: str) -> str:
    """What a dressmaker would miss in a refusal; empty where it says where it lies and what would do."""
    words = str(refusal)
    if refusal.field not in fields(style):
        return f"refused at no field of the form: {refusal.field}"
    # Choices that clash are greyed beside their reason, which says what the one does to the other.
    clashing = words in {clash.reason for clash in STYLES[style].clashes}
    if len(words) <= 30 or not (clashing or _ADVICE.search(words)):
        return f"refused without advice: {words}"
    return f"refused in words of the code: {words}" if _CODE.search(words) else ""


@dataclass
class Tally:
    """Outcomes counted: refusals by their field, and every fault with its case, to copy into a test."""

    right: int = 0
    refused: Counter[str] = field(default_factory=Counter)
    faults: list[tuple[str, Case]] = field(default_factory=list)

    @property
    def share_refused(self) -> float:
        return self.refused.total() / max(self.right + self.refused.total() + len(self.faults), 1)


def tallied(cases: Iterable[Case]) -> Tally:
    """Draft every case and count what became of it."""
    tally = Tally()
    for case in cases:
        told, at = _told(case)
        if told == RIGHT:
            tally.right += 1
        elif told == REFUSED:
            tally.refused[at] += 1
        else:
            tally.faults.append((told, case))
    return tally
