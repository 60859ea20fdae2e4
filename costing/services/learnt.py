"""Keeping what timed work has made of the standard minutes, for the prices that rest on it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from costing.models import LearntPace
from costing.rules.learning import Correction


def keep_learnt(
    *, workshop: Any, corrections: Mapping[str, Correction], tasks: int, now: datetime
) -> LearntPace:
    """Put what was learnt by now in the place of what was known before."""
    content = {kind: [row.mean, row.variance, row.count] for kind, row in sorted(corrections.items())}
    pace, _ = LearntPace.objects.update_or_create(
        workshop=workshop, defaults={"content": content, "tasks": tasks, "learnt_at": now}
    )
    return pace
