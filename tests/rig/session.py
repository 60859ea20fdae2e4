"""Chooses the database of a test session before Django reads its settings."""

from __future__ import annotations

import argparse
import os
import shutil
import tempfile
from pathlib import Path

import pytest

from tests.rig.postgres import Postgres

_FOLDER = "WORKSHOP_TEST_FOLDER"
_DATABASE = "WORKSHOP_TEST_DATABASE"
_VENDORS = {"sqlite": "sqlite3", "postgres": "postgresql"}


class Session:
    """The folder and servers of a test session; workers of pytest-xdist use those of their controller."""

    def __init__(self) -> None:
        self._is_worker = "PYTEST_XDIST_WORKER" in os.environ
        self._postgres: Postgres | None = None
        if not self._is_worker:
            os.environ[_FOLDER] = tempfile.mkdtemp(prefix="workshop-")
        self.folder = Path(os.environ[_FOLDER])
        self.database = self._chosen_database()
        self._set_environment(self.database)
        self._set_up_django()

    def _chosen_database(self) -> str:
        # Read before pytest has read its options: the conftest modules of the rooms import models, and
        # models need the settings. A worker process has no command line; its controller chose already.
        if self._is_worker:
            return os.environ[_DATABASE]
        parser = argparse.ArgumentParser(add_help=False, allow_abbrev=False)
        parser.add_argument("--database", default="sqlite")
        return str(parser.parse_known_args()[0].database)

    def _set_environment(self, database: str) -> None:
        os.environ[_DATABASE] = database
        os.environ["WORKSHOP_VAR"] = str(self.folder / "var")
        os.environ["WORKSHOP_JOBS"] = "manual"
        os.environ["WORKSHOP_LOG_LEVEL"] = "WARNING"
        if database == "postgres" and not self._is_worker:
            self._postgres = Postgres(self.folder)
            os.environ["DATABASE_URL"] = self._postgres.url
        elif database == "sqlite":
            os.environ["DATABASE_URL"] = f"sqlite:///{self.folder / 'never-used.sqlite3'}"
        os.environ["DJANGO_SETTINGS_MODULE"] = "workshop.settings"

    def check(self, asked: str) -> None:
        """Raises: UsageError where the session does not run on the database that was asked for."""
        from django.conf import settings

        engine = settings.DATABASES["default"]["ENGINE"]
        if asked != self.database or not engine.endswith(_VENDORS[asked]):
            raise pytest.UsageError(
                f"The tests were to run on {asked} but Django was set up for {engine}. Give --database on "
                "the command line itself, unset DJANGO_SETTINGS_MODULE and run again."
            )

    def _set_up_django(self) -> None:
        import django
        from django.conf import settings

        if self.database == "sqlite":
            default = settings.DATABASES["default"]
            # A file, not memory: several threads and processes use it, as they do in the service.
            default.setdefault("TEST", {})["NAME"] = str(self.folder / "test.sqlite3")
        settings.STATIC_ROOT.mkdir(parents=True, exist_ok=True)  # whitenoise warns where it is missing
        # Hashing a password well takes longer than most tests.
        settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
        django.setup()

    def close(self) -> None:
        """Stop the servers and delete the files."""
        if self._postgres is not None:
            self._postgres.stop()
        if not self._is_worker:
            shutil.rmtree(self.folder, ignore_errors=True)
            del os.environ[_FOLDER]
