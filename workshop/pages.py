"""What the pages of all three surfaces share: who may see one, and how a refusal is shown."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from typing import Any, Concatenate, ParamSpec, cast

from django import forms
from django.contrib import messages
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseBase, HttpResponseRedirect
from django.shortcuts import redirect
from django.utils import timezone

from workshop.errors import REFUSALS, Refusal
from workshop.people.models import Staff, Workshop
from workshop.people.services import do_once

P = ParamSpec("P")

MARK = "submission"
"""The hidden field of a page that makes something (the tag ``once``): its mark, a UUID."""

DAMAGED = "The page was damaged on its way here. Look through it and send it once more."
SENT_BEFORE = "This was sent before and is done once. To do it once more, open the page with the form anew."


class StaffRequest(HttpRequest):
    """A request of somebody who works here; the middleware has set both."""

    staff: Staff
    workshop: Workshop


StaffView = Callable[Concatenate[StaffRequest, P], HttpResponseBase]
View = Callable[Concatenate[HttpRequest, P], HttpResponseBase]


def staff_page(view: StaffView[P]) -> View[P]:
    """A page for everybody who works in a workshop."""
    return cast(View[P], _guarded(view, owner_only=False))


def owner_page(view: StaffView[P]) -> View[P]:
    """A page for owners; an apprentice is told so."""
    return cast(View[P], _guarded(view, owner_only=True))


def _guarded(view: Any, *, owner_only: bool) -> Any:
    @wraps(view)
    def guarded(request: Any, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if not request.user.is_authenticated:
            return _to_sign_in(request)
        if request.staff is None:
            raise PermissionDenied("This sign-in does not belong to a workshop. Ask the owner to add you.")
        if owner_only and not request.staff.is_owner:
            raise PermissionDenied("This page is the owner's. Your own pages are on the bench.")
        response: HttpResponseBase = view(request, *args, **kwargs)
        return response

    return guarded


def _to_sign_in(request: HttpRequest) -> HttpResponseBase:
    """Sign in and come back; a button pressed after the session ended cannot be pressed by an address."""
    if request.method == "GET":
        return redirect_to_login(request.get_full_path())
    return redirect("sign-in")


def once(request: HttpRequest, workshop: Workshop, deed: Callable[[], str]) -> HttpResponse:
    """Do what was sent and go where that leads; with a mark that was sent before, only go there again.

    Args:
        deed: makes ONE service call, says on the next page what was done, and returns its address.

    Raises: Refusal where the mark did not arrive whole; whatever the deed raises.
    """
    mark = read_mark(request)
    if mark is None:
        raise Refusal(DAMAGED)
    sent = do_once(workshop=workshop, mark=mark, now=timezone.now(), deed=deed)
    if not sent.is_first:
        messages.info(request, SENT_BEFORE)
    return HttpResponseRedirect(sent.led_to)


def press_once(
    request: HttpRequest, workshop: Workshop, deed: Callable[[], str], back: str, *at: object
) -> HttpResponse:
    """``once`` for a button without a form: a refusal becomes a message on the page that it leads back to."""
    try:
        return once(request, workshop, deed)
    except REFUSALS as refusal:
        messages.error(request, str(refusal))
        return redirect(back, *at)


def read_mark(request: HttpRequest) -> uuid.UUID | None:
    """The mark that came with a page; None where it is missing or broken."""
    try:
        return uuid.UUID(request.POST.get(MARK, ""))
    except ValueError:
        return None


def searched(request: HttpRequest) -> str:
    """The words looked for. A NUL is left out: PostgreSQL refuses it even in a question."""
    return request.GET.get("search", "").replace("\x00", "").strip()[:80]


def all_valid(*checked: forms.BaseForm) -> bool:
    """Whether every form is valid; each is checked, so that all faults are shown at once."""
    return all([form.is_valid() for form in checked])  # noqa: C419  a generator would stop at the first fault


def faults_in(form: forms.BaseForm) -> str:
    """All faults of a form in one line, for a page that does not show them at their fields."""
    return " ".join(str(fault) for faults in form.errors.values() for fault in faults)


@contextmanager
def refusals_on(form: forms.BaseForm, *, except_: tuple[type[Exception], ...] = ()) -> Iterator[None]:
    """A refusal raised inside becomes an error of the form, at its field where it names one.

    Afterwards ``form.errors`` tells whether the service was satisfied. ``except_`` is let through.
    """
    try:
        yield
    except REFUSALS as refusal:
        if isinstance(refusal, except_):
            raise
        name = getattr(refusal, "field", "")
        form.add_error(name if name in form.fields else None, str(refusal))


@contextmanager
def refusals_told(request: HttpRequest) -> Iterator[None]:
    """A refusal raised inside becomes a message on the next page: for buttons without a form."""
    try:
        yield
    except REFUSALS as refusal:
        messages.error(request, str(refusal))
