"""Who sits in front of the browser, and the workshop that they open."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, ViewportSize

from tests.browser.furnished import Furnished, furnish
from tests.browser.person import Person, opened
from tests.rig.browser import DESKTOP, PHONE


@pytest.fixture(params=[DESKTOP, PHONE], ids=["desktop", "phone"])
def size(request: pytest.FixtureRequest) -> ViewportSize:
    """Each test that opens a browser runs at both widths."""
    chosen: ViewportSize = request.param
    return chosen


@pytest.fixture
def people_at(size: ViewportSize, chromium: Browser, site: str) -> Iterator[Callable[..., Person]]:
    """A function that opens a browser for one more person, in a workshop of the test's own."""
    yield from opened(chromium, site, size)


@pytest.fixture(scope="session")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Furnished]:
    """A workshop with work under way, served by a process of its own to all tests that look at it.

    A test may add to it, and counts what it added; none may take away or change what is there.
    """
    folder: Path = tmp_path_factory.mktemp("furnished")
    yield from furnish(folder)


@pytest.fixture
def guests(size: ViewportSize, chromium: Browser, furnished: Furnished) -> Iterator[Callable[..., Person]]:
    """A function that opens a browser for one more person, in the furnished workshop."""
    yield from opened(chromium, furnished.site, size)
