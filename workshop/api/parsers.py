"""How a request's body is read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import IO, Any

from rest_framework.exceptions import ParseError
from rest_framework.parsers import JSONParser


class PlainJSONParser(JSONParser):
    """JSON, not nested deeper than it can be read."""

    def parse(
        self,
        stream: IO[Any],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> dict[str, Any]:
        """Raises: ParseError (400)."""
        try:
            return super().parse(stream, media_type, parser_context)
        except RecursionError:
            raise ParseError("This JSON is nested too deep.") from None
