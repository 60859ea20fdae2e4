"""Fixtures that drive Debian's Chromium against a live server with background jobs."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, ViewportSize, sync_playwright

CHROMIUM = Path(os.environ.get("CHROMIUM", "/usr/bin/chromium"))
_FLAGS = (
    "--no-sandbox",  # Chromium refuses to run as root with it
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
DESKTOP = ViewportSize(width=1280, height=900)
PHONE = ViewportSize(width=390, height=844)

wide_takes_long = pytest.mark.parametrize(
    "size",
    [pytest.param(DESKTOP, id="desktop", marks=pytest.mark.long), pytest.param(PHONE, id="phone")],
    indirect=True,
)
"""Of a test of many pages: on the phone each time, at a desk with what takes long."""


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """The browser of the session. A machine without it fails, saying how to get it."""
    if not CHROMIUM.exists():
        pytest.fail(f"{CHROMIUM} is missing. Run: sudo apt-get install -y chromium (or set CHROMIUM)")
    # Playwright keeps an event loop in this thread, which Django takes for asynchronous code.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), headless=True, args=list(_FLAGS))
        yield browser
        browser.close()
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture
def site(transactional_db: None, live_server: object, settings: object) -> Iterator[str]:
    """The address of a live server whose background jobs are run by threads of this process."""
    from workshop.jobs.runner import Runner

    url = str(live_server)
    settings.PUBLIC_ADDRESS = url  # type: ignore[attr-defined]  # pytest-django's wrapper takes any name
    with Runner(threads=1):
        yield url


@pytest.fixture
def expected_faults() -> list[str]:
    """Patterns of faults that the test provokes on purpose: append to it, e.g. ``"404"``."""
    return []


def _watched(context: BrowserContext, faults: list[str]) -> Page:
    """Return a new page that notes script errors, error answers and requests without answer."""
    page = context.new_page()
    page.on("pageerror", lambda error: faults.append(f"script error: {error}"))
    page.on(
        "console",
        lambda message: (
            faults.append(f"console: {message.text} {message.location.get('url', '')}")
            if message.type == "error"
            else None
        ),
    )
    page.on(
        "requestfailed",
        # A download ends the page load that began it.
        lambda request: (
            faults.append(f"no answer: {request.url} {request.failure}")
            if "ERR_ABORTED" not in (request.failure or "")
            else None
        ),
    )
    return page


def _page(browser: Browser, viewport: ViewportSize, expected: list[str], *, touch: bool) -> Iterator[Page]:
    faults: list[str] = []
    context = browser.new_context(viewport=viewport, has_touch=touch, is_mobile=touch, accept_downloads=True)
    context.set_default_timeout(15_000)
    yield _watched(context, faults)
    context.close()
    surprises = [fault for fault in faults if not any(re.search(pattern, fault) for pattern in expected)]
    assert surprises == []


@pytest.fixture
def page(chromium: Browser, site: str, expected_faults: list[str]) -> Iterator[Page]:
    """A page at desktop width; any script error or failed request fails the test."""
    yield from _page(chromium, DESKTOP, expected_faults, touch=False)


@pytest.fixture
def phone(chromium: Browser, site: str, expected_faults: list[str]) -> Iterator[Page]:
    """A page at phone width with a touch screen; any script error or failed request fails the test."""
    yield from _page(chromium, PHONE, expected_faults, touch=True)
