"""How the API says no: a refusal is 409 with its message and the field at fault.

Where the field is a list, ``number`` (from 0) says which of it and ``part`` what of that.
"""

from __future__ import annotations

from typing import Any

from rest_framework import status
from rest_framework.response import Response
from rest_framework.views import exception_handler

from workshop.errors import REFUSALS


def refusal_handler(exception: Exception, context: dict[str, Any]) -> Response | None:
    """Turn a domain refusal into 409 ``{"detail", "field"}``; the rest is answered as the framework does."""
    if isinstance(exception, REFUSALS):
        body = {"detail": str(exception), "field": getattr(exception, "field", "")}
        body |= {name: getattr(exception, name) for name in ("number", "part") if hasattr(exception, name)}
        for name in ("errors", "questions"):
            if hasattr(exception, name):
                body[name] = _plain(getattr(exception, name))
        return Response(body, status=status.HTTP_409_CONFLICT)
    return exception_handler(exception, context)


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return value
    return [{"field": question.field, "message": question.message} for question in value]
