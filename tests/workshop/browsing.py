"""A browser that sends what a page of this service would send."""

from __future__ import annotations

import uuid
from typing import Any

from django.test import Client


class Browser(Client):
    """Each post carries a mark of its own, as of a page opened afresh; a test may give one to send twice."""

    def post(self, path: str, data: Any = None, **more: Any) -> Any:
        return super().post(path, {"submission": uuid.uuid4(), **(data or {})}, **more)
