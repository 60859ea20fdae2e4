"""What timed work has made of the standard minutes."""

from __future__ import annotations

from typing import Any

from costing.models import LearntPace
from costing.rules.learning import Correction


def learnt_pace(workshop: Any) -> LearntPace | None:
    """What was learnt last; None before anything was."""
    return LearntPace.objects.filter(workshop=workshop).first()


def learnt_corrections(workshop: Any) -> dict[str, Correction]:
    """What corrects the minutes of each kind of operation; nothing where nothing was timed."""
    pace = learnt_pace(workshop)
    return {} if pace is None else {kind: Correction(*row) for kind, row in pace.content.items()}
