"""Starting, watching and ending the processes that tests run against."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def wait_until(condition: Callable[[], object], *, within_s: float = 30.0, what: str) -> None:
    """Return once the condition holds. Raises: AssertionError, saying what was awaited."""
    until = time.monotonic() + within_s
    while not condition():
        assert time.monotonic() < until, f"waited {within_s:g} s in vain: {what}"
        time.sleep(0.05)


class Process:
    """A child process whose output goes to a file, so that a failing test can show it."""

    def __init__(self, command: Sequence[str], *, env: Mapping[str, str], log: Path) -> None:
        self.log = log
        with log.open("ab") as output:
            self._child = subprocess.Popen(
                command,
                cwd=ROOT,
                env={**os.environ, **env},
                stdin=subprocess.DEVNULL,
                stdout=output,
                stderr=subprocess.STDOUT,
                # A group of its own: a worker's children are killed with it.
                start_new_session=True,
            )

    @property
    def pid(self) -> int:
        return self._child.pid

    @property
    def output(self) -> str:
        return self.log.read_text(encoding="utf-8", errors="replace")

    def wait_for_output(self, text: str, *, within_s: float = 60.0) -> None:
        """Return once the process has printed ``text``. Raises: AssertionError with all its output."""
        until = time.monotonic() + within_s
        while text not in self.output:
            assert self._child.poll() is None, f"ended with {self._child.returncode}:\n{self.output}"
            assert time.monotonic() < until, f"never printed {text!r}:\n{self.output}"
            time.sleep(0.05)

    @property
    def alive(self) -> bool:
        return self._child.poll() is None

    def wait(self, within_s: float = 30.0) -> int:
        """Return the exit status once the process has ended by itself."""
        return self._child.wait(within_s)

    def interrupt(self, number: int = signal.SIGINT, *, within_s: float = 30.0) -> int:
        """Ask the process to stop and return its exit status."""
        self._child.send_signal(number)
        return self._child.wait(within_s)

    def kill(self) -> None:
        """End the process and its children at once, without a chance to clean up."""
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self._child.pid, signal.SIGKILL)
        self._child.wait()


def python(*arguments: str, env: Mapping[str, str], log: Path) -> Process:
    """Start this interpreter with arguments."""
    return Process([sys.executable, *arguments], env=env, log=log)
