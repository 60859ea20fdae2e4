"""Serves the pages and runs the background jobs in one process: the embedded kind of installation."""

from __future__ import annotations

import errno
import os
import signal
import socket
from argparse import ArgumentParser
from types import FrameType
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.core.wsgi import get_wsgi_application
from django.db import DEFAULT_DB_ALIAS, connections
from django.db.migrations.executor import MigrationExecutor
from waitress.server import create_server

from workshop.jobs.runner import Runner

_WEB_THREADS = 8


class Command(BaseCommand):
    help = "Serve the workshop, with its background jobs, until Ctrl-C."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--host", default=os.environ.get("HOST", "127.0.0.1"))
        parser.add_argument("--port", default=os.environ.get("PORT", "8000"))

    def handle(self, *args: object, **options: Any) -> None:
        port = _port(options["port"])
        _check_migrated()
        listener = _listen(options["host"], port)
        # Docker and systemd stop with SIGTERM, a closed terminal with SIGHUP: each like Ctrl-C, which a shell
        # makes a process in its background ignore.
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            signal.signal(number, _interrupt)
        settings.STATIC_ROOT.mkdir(parents=True, exist_ok=True)  # whitenoise warns where it is missing
        server = create_server(get_wsgi_application(), sockets=[listener], threads=_WEB_THREADS, ident=None)
        runner = Runner() if settings.JOBS_RUNNER == "embedded" else None
        if runner is not None:
            runner.start()
        self.stdout.write(f"The workshop is open at {_address(options['host'], port)}  (Ctrl-C stops it)")
        self.stdout.flush()
        try:
            server.run()  # returns at Ctrl-C, after the answers under way
        finally:
            self.stdout.write("\nStopping: unfinished jobs are kept and go on at the next start.")
            server.close()
            if runner is not None:
                runner.stop()
            self.stdout.write("Stopped.")


def _port(text: str) -> int:
    if text.isascii() and text.isdigit() and 1 <= int(text) <= 65535:
        return int(text)
    raise CommandError(f"PORT must be a whole number from 1 to 65535; it is {text!r}.")


def _check_migrated() -> None:
    executor = MigrationExecutor(connections[DEFAULT_DB_ALIAS])
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        raise CommandError("The database is not up to date. Run: python manage.py migrate")
    connections.close_all()


def _listen(host: str, port: int) -> socket.socket:
    """Return a bound socket. Raises: CommandError with what to do where the port cannot be had."""
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
    except socket.gaierror:
        raise CommandError(f"{host!r} is no address of this computer.") from None
    listener = socket.socket(family, kind, protocol)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind(address)
        listener.listen()
    except OSError as error:
        listener.close()
        raise CommandError(_why_not(error, host, port)) from None
    return listener


def _why_not(error: OSError, host: str, port: int) -> str:
    if error.errno == errno.EADDRINUSE:
        return (
            f"Port {port} is in use, perhaps by another workshop that is still running. "
            f"Stop it, or choose another port: make demo PORT={port % 65535 + 1}"
        )
    if error.errno == errno.EACCES:
        return f"Port {port} may not be used without special rights. Choose one above 1023."
    return f"Cannot listen on {host}:{port}: {error.strerror}."


def _address(host: str, port: int) -> str:
    shown = "localhost" if host in {"127.0.0.1", "0.0.0.0", "::1", "::"} else host
    return f"http://{shown}:{port}/"


def _interrupt(number: int, frame: FrameType | None) -> None:
    raise KeyboardInterrupt
