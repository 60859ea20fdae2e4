from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

import tests.rig.trial.tasks  # noqa: F401  registers the trial kinds of jobs
from workshop.people.models import Workshop

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


@pytest.fixture
def workshop(db: None) -> Workshop:
    return Workshop.objects.create(name="Thimble Row", created_at=NOW)


@pytest.fixture
def note(tmp_path: Path) -> Path:
    """The file in which trial jobs leave a line each time they end."""
    return tmp_path / "note.txt"
