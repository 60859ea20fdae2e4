"""Which function does which kind of job. Each room registers its own in its ``tasks`` module."""

from __future__ import annotations

from collections.abc import Callable

from workshop.jobs.context import JobContext

__all__ = ["Handler", "JobContext", "UnknownKind", "find_handler", "handler"]

Handler = Callable[[JobContext], None]
_HANDLERS: dict[str, Handler] = {}


class UnknownKind(LookupError):
    """No installed room does this kind of job."""


def handler(kind: str) -> Callable[[Handler], Handler]:
    """Register the function that does a kind of job.

    The function must be safe to run twice: a worker may die after its work was stored and before that was
    noted. A domain refusal that it raises ends the job with its message; any other error is tried again.

    Raises:
        ValueError: two functions want the same kind.
    """

    def register(function: Handler) -> Handler:
        known = _HANDLERS.setdefault(kind, function)
        if known is not function:
            raise ValueError(f"{kind} is done by {known.__module__}.{known.__qualname__} already")
        return function

    return register


def find_handler(kind: str) -> Handler:
    """Return the function that does a kind of job. Raises: UnknownKind."""
    try:
        return _HANDLERS[kind]
    except KeyError:
        raise UnknownKind(f"no installed room does jobs of the kind {kind}") from None
