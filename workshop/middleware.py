"""What happens around every page of the service."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, HttpResponseNotAllowed
from django.shortcuts import render


class NotOpenedMiddleware:
    """Shows a page of ours where an address that only a button sends to was opened by hand.

    Django answers that with an empty page and has no handler for it, as it has for 403 and 404.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if not isinstance(response, HttpResponseNotAllowed):
            return response
        shown = render(request, "not_opened.html", status=response.status_code)
        shown["Allow"] = response["Allow"]
        return shown
