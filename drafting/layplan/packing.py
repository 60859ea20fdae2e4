"""One run of a packer in a process of its own (``child``): it may hang, be killed, or stop on native code.

Whoever starts it has all layouts that came by then.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from threading import Event, Thread

from drafting.layplan.strip import Layout, StripProblem


class PackingProcess:
    """One run of ``drafting.layplan.child``. Use as a context: leaving it ends the process."""

    def __init__(self, packer: str, problem: StripProblem, *, seconds: float, seed: int) -> None:
        self.layouts: list[Layout] = []
        self.failure = ""
        self._done = Event()
        self._request = {"packer": packer, "problem": problem.to_json(), "seconds": seconds, "seed": seed}
        self._process: subprocess.Popen[str] | None = None

    def __enter__(self) -> PackingProcess:
        try:
            # A fresh interpreter, never a fork: the engine hangs in a fork of a process in which it has run.
            self._process = subprocess.Popen(
                [sys.executable, "-m", "drafting.layplan.child"],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                text=True,
                env=_with_our_packages(),
            )
        except OSError as failure:
            self.failure = f"it could not be started: {failure.strerror}"
            self._done.set()
            return self
        Thread(target=self._talk, args=(self._process,), daemon=True).start()
        return self

    def __exit__(self, *_: object) -> None:
        if self._process is not None:
            self._process.kill()
            self._process.wait()

    @property
    def is_running(self) -> bool:
        return not self._done.is_set()

    def wait(self, seconds: float) -> None:
        """Wait for its end, at most so long."""
        self._done.wait(seconds)

    def _talk(self, process: subprocess.Popen[str]) -> None:
        """Hand over the request and read until it is done, says that it failed, or falls silent for good."""
        assert process.stdin is not None
        assert process.stdout is not None
        finished = False
        try:
            with process.stdin as stdin:
                stdin.write(json.dumps(self._request) + "\n")
            for line in process.stdout:
                message = json.loads(line)
                if "layout" in message:
                    self.layouts.append(Layout.from_json(message["layout"]))
                self.failure = message.get("failed", "")
                finished = "done" in message or "failed" in message
        except (OSError, ValueError):
            # A pipe broken off or a line cut short: the process was stopped, which is told below.
            finished = False
        finally:
            process.stdout.close()
            if not finished:
                self.failure = f"its process ended with status {process.wait()}"
            self._done.set()


def _with_our_packages() -> dict[str, str]:
    """The environment, with the folder in which this package lies on the path of a fresh interpreter."""
    ours = str(Path(__file__).resolve().parents[2])
    given = os.environ.get("PYTHONPATH", "")
    return {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, (ours, given)))}
