"""Runs every ``bench_*.py`` beside this file: ``python -m tests.benchmarks.run [NAME ...]``.

Each prints its results as JSON lines; a line without a ratio, or a benchmark that fails, is an error.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]


def benchmarks(names: list[str]) -> list[Path]:
    """Return the benchmarks to run. Raises: SystemExit naming one that does not exist."""
    if not names:
        return sorted(HERE.glob("bench_*.py"))
    chosen = [HERE / f"bench_{name.removeprefix('bench_')}.py" for name in names]
    for path in chosen:
        if not path.exists():
            sys.exit(f"there is no benchmark {path.stem}")
    return chosen


def faults(name: str, output: str) -> list[str]:
    """Return what is wrong with a benchmark's output, a sentence each."""
    if not output.strip():
        return [f"{name} printed nothing"]
    return [f"{name} printed no result: {line}" for line in output.splitlines() if not _is_result(line)]


def _is_result(line: str) -> bool:
    try:
        result = json.loads(line)
    except ValueError:
        return False
    return isinstance(result, dict) and any(
        "ratio" in key and isinstance(value, int | float) for key, value in result.items()
    )


def run(path: Path) -> list[str]:
    """Run one benchmark in a process of its own, show its results and return its faults."""
    done = subprocess.run(
        [sys.executable, "-m", f"tests.benchmarks.{path.stem}"],
        cwd=ROOT,
        env={"DJANGO_SETTINGS_MODULE": "workshop.settings", **os.environ},
        stdout=subprocess.PIPE,
        text=True,
        check=False,
    )
    sys.stdout.write(done.stdout)
    sys.stdout.flush()
    if done.returncode:
        return [f"{path.stem} ended with status {done.returncode}"]
    return faults(path.stem, done.stdout)


def main() -> None:
    found = [fault for path in benchmarks(sys.argv[1:]) for fault in run(path)]
    if found:
        sys.exit("\n".join(found))


if __name__ == "__main__":
    main()
