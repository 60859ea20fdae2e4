"""The service's settings plus the tests' own kinds of jobs: for the processes that tests start."""

from __future__ import annotations

from workshop.settings import *  # noqa: F403  the very settings under test
from workshop.settings import INSTALLED_APPS

INSTALLED_APPS = [*INSTALLED_APPS, "tests.rig.trial"]
