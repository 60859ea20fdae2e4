"""Chooses the database of a test session before Django reads its settings."""

from __future__ import annotations

import os
import shutil
import tempfile
from pathlib import Path

import pytest

from tests.rig.postgres import Postgres

_FOLDER = "WORKSHOP_TEST_FOLDER"
_VENDORS = {"sqlite": "sqlite", "postgres": "postgresql"}


class Session:
    """The folder and servers of a test session; workers of pytest-xdist use those of their controller."""

    def __init__(self, config: pytest.Config) -> None:
        self._is_worker = hasattr(config, "workerinput")
        self._postgres: Postgres | None = None
        if not self._is_worker:
            os.environ[_FOLDER] = tempfile.mkdtemp(prefix="workshop-")
        self.folder = Path(os.environ[_FOLDER])
        self._set_environment(config.getoption("--database"))

    def _set_environment(self, database: str) -> None:
        os.environ["WORKSHOP_VAR"] = str(self.folder / "var")
        os.environ["WORKSHOP_JOBS"] = "manual"
        os.environ["WORKSHOP_LOG_LEVEL"] = "WARNING"
        if database == "postgres" and not self._is_worker:
            self._postgres = Postgres(self.folder)
            os.environ["DATABASE_URL"] = self._postgres.url
        elif database == "sqlite":
            os.environ["DATABASE_URL"] = f"sqlite:///{self.folder / 'never-used.sqlite3'}"
        os.environ["DJANGO_SETTINGS_MODULE"] = "workshop.settings"

    def adapt_settings(self, database: str) -> None:
        """Change what only tests need otherwise. Raises: UsageError where the database is another one."""
        from django.conf import settings

        default = settings.DATABASES["default"]
        if _VENDORS[database] not in default["ENGINE"]:
            raise pytest.UsageError(
                "Django read its settings before the tests began: unset DJANGO_SETTINGS_MODULE and run again."
            )
        if database == "sqlite":
            # A file, not memory: several threads and processes use it, as they do in the service.
            default["TEST"] = {"NAME": str(self.folder / "test.sqlite3")}
        settings.STATIC_ROOT.mkdir(parents=True, exist_ok=True)  # whitenoise warns where it is missing
        # Hashing a password well takes longer than most tests.
        settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]

    def close(self) -> None:
        """Stop the servers and delete the files."""
        if self._postgres is not None:
            self._postgres.stop()
        if not self._is_worker:
            shutil.rmtree(self.folder, ignore_errors=True)
            del os.environ[_FOLDER]
