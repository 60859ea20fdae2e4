"""Somebody in front of a real browser."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from playwright.sync_api import Browser, Error, Page, ViewportSize, expect

from tests.rig.browser import PHONE

PASSWORD = "long-needle-77"


class Person:
    """Somebody with a browser of their own, who looks at each page for what must never be there."""

    def __init__(self, page: Page, site: str) -> None:
        self.page = page
        self.site = site
        self.faults: list[str] = []
        page.set_default_timeout(20_000)
        page.on("pageerror", lambda error: self.faults.append(f"script: {error}"))
        page.on("dialog", lambda dialog: dialog.accept())

    def go(self, address: str) -> None:
        whole = address if address.startswith("http") else self.site + address
        try:
            self.page.goto(whole)
        except Error as error:
            # A page that follows a job loads itself again when the job ends, and may do so just now.
            if "ERR_ABORTED" not in str(error):
                raise
            self.page.wait_for_load_state()
            self.page.goto(whole)
        self.fits()

    def press(self, name: str, *, exact: bool = True) -> None:
        self.page.get_by_role("button", name=name, exact=exact).first.click()
        self.page.wait_for_load_state()
        self.fits()

    def follow(self, name: str | re.Pattern[str]) -> None:
        self.page.get_by_role("link", name=name).first.click()
        self.page.wait_for_load_state()
        self.fits()

    def fits(self) -> None:
        """Nothing hangs over the side of the screen."""
        # Not innerWidth: on a phone it grows with what hangs over.
        assert self.page.viewport_size is not None
        room = self.page.viewport_size["width"]
        wide = self.page.evaluate("document.documentElement.scrollWidth")
        assert wide <= room, f"{self.page.url} is {wide} px wide on a screen of {room}"

    def sees(self, words: str | re.Pattern[str]) -> None:
        expect(self.page.locator("main")).to_contain_text(words, timeout=20_000)

    def type(self, **texts: object) -> None:
        """Write into fields, by their names."""
        for name, text in texts.items():
            self.page.fill(f"[name='{name}']", str(text))

    def holds(self, **texts: object) -> None:
        """What was typed is still there."""
        found = {name: self.page.input_value(f"[name='{name}']") for name in texts}
        assert found == {name: str(text) for name, text in texts.items()}

    def faults_at(self) -> dict[str, str]:
        """The faults that the page shows, by the field that each stands at."""
        return dict(
            self.page.locator(".with-fault:has(.fault)").evaluate_all(
                "cells => cells.map(cell => [cell.querySelector('[name]').name,"
                " cell.querySelector('.fault').textContent.trim()])"
            )
        )

    def sign_in(self, username: str) -> None:
        self.go("/sign-in/")
        self.page.fill("[name=username]", username)
        self.page.fill("[name=password]", PASSWORD)
        self.press("Sign in")

    def download(self, link: str | re.Pattern[str]) -> bytes:
        """What a link of the page leads to, read with the person's own sign-in."""
        address = self.page.get_by_role("link", name=link).first.get_attribute("href")
        assert address is not None
        answer = self.page.request.get(self.site + address)
        assert answer.status == 200
        return answer.body()


def opened(chromium: Browser, site: str, size: ViewportSize) -> Iterator[Callable[..., Person]]:
    """Yield a function that opens a browser for one more person; all are closed afterwards, faults told.

    ``scripts=False`` opens one in which no script runs.
    """
    people: list[Person] = []

    def open_for(*, scripts: bool = True) -> Person:
        context = chromium.new_context(
            viewport=size,
            has_touch=size == PHONE,
            is_mobile=size == PHONE,
            accept_downloads=True,
            java_script_enabled=scripts,
        )
        people.append(Person(context.new_page(), site))
        return people[-1]

    yield open_for
    for person in people:
        person.page.context.close()
        assert person.faults == []
