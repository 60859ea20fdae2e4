"""Background work: other rooms use ``jobs.request``, ``cancel``, ``daily`` and ``store_document``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from workshop.jobs.services import cancel, daily, request, store_document

__all__ = ["cancel", "daily", "request", "store_document"]


def __getattr__(name: str) -> Any:
    """Find a service when it is first used: models cannot be imported while Django still loads its apps."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from workshop.jobs import services  # noqa: PLC0415  see above

    return getattr(services, name)
