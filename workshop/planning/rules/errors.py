"""What planning refuses, and why."""

from __future__ import annotations

from workshop.errors import Refusal


class PlanningError(Refusal):
    """A problem that cannot be planned.

    ``field`` is the path of the offending value as the reader would write it, for example
    ``orders[2].tasks[0].minutes``; the message starts with it.
    """

    def __init__(self, field: str, reason: str) -> None:
        super().__init__(f"{field}: {reason}", field=field)
        self.reason = reason


class BadProblem(PlanningError):
    """The problem as given makes no sense, whatever the plan."""


class CannotPlan(PlanningError):
    """The problem makes sense, but no plan of it was found within the openings."""
