"""Fixtures and options that every test may use. The servers behind them are in ``tests/rig``."""

from __future__ import annotations

import os
from collections.abc import Callable

import hypothesis
import pytest
from pytest_django import Settings

from tests.rig.session import Session

# The same examples on every run, so that a red test is a change's own fault; SEARCH=1 looks for new ones.
hypothesis.settings.register_profile("steady", derandomize=True)
hypothesis.settings.load_profile("default" if os.environ.get("SEARCH") else "steady")

pytest_plugins = ["tests.rig.browser", "tests.rig.live"]

_ONLY_ON = ("postgres", "sqlite")
_session = Session()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--database",
        choices=("sqlite", "postgres"),
        default="sqlite",
        help="the database of this session; postgres starts a real server",
    )


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    _session.check(config.getoption("--database"))


def pytest_unconfigure(config: pytest.Config) -> None:
    _session.close()


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out, and count, the tests that say something only about the other database."""
    other = next(name for name in _ONLY_ON if name != config.getoption("--database"))
    left_out = [item for item in items if item.get_closest_marker(other)]
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if item not in left_out]


@pytest.fixture
def run_jobs(db: None, settings: Settings) -> Callable[[], int]:
    """Run every due job here and now, also those that jobs ask for in turn; returns how many were run."""
    from workshop.jobs.execution import run_due

    # A lease is kept alive on a connection of its own, which does not see a job in a test's transaction.
    settings.JOBS_LEASE_SECONDS = 3600
    return run_due
