"""The packing process: ``python -m drafting.layplan.child``.

One line of JSON comes in (which packer, the problem, seconds, seed); lines of JSON go out: each better layout
as ``{"layout": ...}``, ``{"alive": true}`` in between, and at the end ``{"done": true}`` or
``{"failed": "..."}``. A packer may stop this process, hang or fill its memory: whoever started it
(``runner``) has all earlier layouts.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Mapping
from io import StringIO
from queue import Empty, Queue
from threading import Thread
from typing import Any, TextIO

from drafting.layplan.strip import StripPacker, StripProblem

#: Seconds between two signs of life; they also tell the packing process that its starter is gone.
ALIVE_EVERY = 0.2


def packer_named(name: str) -> StripPacker:
    """The packer of that name. Imported late: each process loads only what it runs.

    Raises:
        ValueError: no such packer.
    """
    if name in ("engine", "engine alone"):
        from drafting.layplan.engine import SpyrrowPacker  # noqa: PLC0415 - see the docstring

        # Beside another it has one thread, so that it does not take the other's core.
        return SpyrrowPacker(workers=2 if name == "engine alone" else 1)
    if name == "search":
        from drafting.layplan.search import FillSearch  # noqa: PLC0415 - see the docstring

        return FillSearch()
    if name == "separation":
        from drafting.layplan.separation import Separation  # noqa: PLC0415 - see the docstring

        return Separation()
    raise ValueError(f"there is no packer {name}")


def run(request: Mapping[str, Any], out: TextIO) -> None:
    """Pack what the request asks for, writing as the module says until all is said or nobody reads."""
    messages: Queue[dict[str, Any]] = Queue()
    Thread(target=_pack, args=(request, messages.put), daemon=True).start()
    while True:
        try:
            message = messages.get(timeout=ALIVE_EVERY)
        except Empty:
            message = {"alive": True}
        out.write(json.dumps(message) + "\n")
        out.flush()
        if "done" in message or "failed" in message:
            return


def _pack(request: Mapping[str, Any], tell: Callable[[dict[str, Any]], None]) -> None:
    try:
        packer = packer_named(request["packer"])
        packer.pack(
            StripProblem.from_json(request["problem"]),
            seconds=request["seconds"],
            seed=request["seed"],
            report=lambda layout: tell({"layout": layout.to_json()}),
        )
    # Whatever ended the packer, native panics included, is told instead of leaving the reader to wait.
    except BaseException as failure:
        tell({"failed": f"{type(failure).__name__}: {failure}"[:300]})
    else:
        tell({"done": True})


def main() -> None:
    """Read the request from standard input, write to standard output."""
    try:
        run(json.loads(sys.stdin.readline()), sys.stdout)
    except BrokenPipeError:
        # The starter is gone and wants nothing more; there is nobody to tell.
        sys.stdout = StringIO()  # so that flushing it at exit does not fail again


if __name__ == "__main__":
    main()
