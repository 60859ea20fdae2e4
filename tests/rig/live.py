"""Fixtures with processes of their own: Redis, Celery workers, the serving process."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import quote

import pytest

from tests.rig.processes import Process, python
from tests.rig.redis import RedisServer


@pytest.fixture(scope="session")
def redis_server() -> Iterator[RedisServer]:
    """A real Redis for the whole session; a test that kills it starts it again."""
    with tempfile.TemporaryDirectory(prefix="workshop-redis-") as folder:
        server = RedisServer(Path(folder))
        server.start()
        yield server
        server.kill()


@pytest.fixture
def redis_url(redis_server: RedisServer) -> str:
    """The address of a real Redis without any messages in it."""
    if not redis_server.answers():
        redis_server.start()
    redis_server.clear()
    return redis_server.url


def database_url() -> str:
    """Return the address of the current test database, for other processes."""
    from django.db import connection

    use = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{use['NAME']}"
    return f"postgresql://{quote(use['USER'])}@/{use['NAME']}?host={quote(use['HOST'], safe='/')}"


@pytest.fixture
def process_env(transactional_db: None, tmp_path: Path) -> dict[str, str]:
    """The environment in which another process sees what the test has stored, and knows the trial jobs."""
    return {
        "DJANGO_SETTINGS_MODULE": "tests.rig.settings",
        "DATABASE_URL": database_url(),
        "WORKSHOP_VAR": str(tmp_path / "var"),
        "WORKSHOP_LOG_LEVEL": "INFO",
        "WORKSHOP_JOB_LEASE": "4",
        "WORKSHOP_JOB_SWEEP": "1",
        "PYTHONUNBUFFERED": "1",
    }


@pytest.fixture
def celery_worker(
    process_env: dict[str, str], redis_url: str, tmp_path: Path
) -> Iterator[Callable[..., Process]]:
    """Start real Celery workers: ``celery_worker()`` obeys messages, with ``beat=True`` it also sweeps."""
    started: list[Process] = []
    env = {**process_env, "WORKSHOP_JOBS": "celery", "REDIS_URL": redis_url}

    def start(*, beat: bool = False) -> Process:
        name = f"worker{len(started)}"
        options = ["--concurrency=1", "--loglevel=INFO", f"--hostname={name}@%h"]
        if beat:
            options += ["--beat", f"--schedule={tmp_path / name}"]
        worker = python(
            "-m", "celery", "-A", "workshop.celery", "worker", *options, env=env, log=tmp_path / f"{name}.log"
        )
        started.append(worker)
        worker.wait_for_output(" ready.")
        return worker

    yield start
    for worker in started:
        worker.kill()


@pytest.fixture
def serve(process_env: dict[str, str], tmp_path: Path) -> Iterator[Callable[..., Process]]:
    """Start real serving processes on a port: ``serve(port)`` returns once the pages can be had."""
    started: list[Process] = []
    env = {**process_env, "WORKSHOP_JOBS": "embedded"}

    def start(port: int, *, wait: bool = True) -> Process:
        log = tmp_path / f"serve{len(started)}.log"
        process = python("manage.py", "serve", env={**env, "PORT": str(port)}, log=log)
        started.append(process)
        if wait:
            process.wait_for_output("The workshop is open at")
        return process

    yield start
    for process in started:
        process.kill()
