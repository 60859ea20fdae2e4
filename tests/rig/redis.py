"""A real Redis server, from the binary of a wheel, that can be killed and started again."""

from __future__ import annotations

import socket
import sys
from pathlib import Path

import redis

from tests.rig.processes import Process, wait_until


class RedisServer:
    """A broker that keeps nothing on disk: after ``kill`` and ``start`` every message is gone."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._port = free_port()
        self.url = f"redis://127.0.0.1:{self._port}/0"
        self._process: Process | None = None

    def start(self) -> None:
        """Start the server and wait until it answers."""
        binary = Path(sys.executable).parent / "redis-server"
        command = [str(binary), "--port", str(self._port), "--bind", "127.0.0.1", "--save", "", "--dir"]
        self._process = Process([*command, str(self._folder)], env={}, log=self._folder / "redis.log")
        wait_until(self.answers, what="Redis answers")

    def kill(self) -> None:
        """End the server at once."""
        if self._process is not None:
            self._process.kill()
            self._process = None

    def answers(self) -> bool:
        """Whether the server takes commands."""
        with redis.Redis.from_url(self.url) as client:
            try:
                return bool(client.ping())
            except redis.ConnectionError:
                return False

    def queued(self) -> int:
        """Return how many messages wait for a Celery worker."""
        with redis.Redis.from_url(self.url) as client:
            return int(client.llen("celery"))

    def clear(self) -> None:
        """Forget every message."""
        with redis.Redis.from_url(self.url) as client:
            client.flushall()


def free_port() -> int:
    """Return a port that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
