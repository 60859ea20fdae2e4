"""Make the pictures of the README from the demo workshop: ``make pictures``.

A workshop of its own is built in a temporary folder, served, and photographed in Chromium.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

from playwright.sync_api import Browser, Page, ViewportSize, expect, sync_playwright

from tests.rig.browser import _FLAGS, CHROMIUM, DESKTOP, PHONE

ROOT = Path(__file__).resolve().parents[2]
OUT = ROOT / ".pictures"
PORT = "8765"
SITE = f"http://localhost:{PORT}"
JOBS_SECONDS = 180


def main() -> None:
    with tempfile.TemporaryDirectory(prefix="workshop-pictures-") as folder:
        env = {**os.environ, "WORKSHOP_VAR": folder, "PORT": PORT, "WORKSHOP_LOG_LEVEL": "WARNING"}
        _manage(env, "migrate", "--verbosity", "0")
        told = re.search(r"password (\S+)", _manage(env, "demo"))
        assert told is not None
        server = subprocess.Popen([sys.executable, "manage.py", "serve"], cwd=ROOT, env=env)
        try:
            _wait_until_open()
            with sync_playwright() as playwright:
                browser = playwright.chromium.launch(
                    executable_path=str(CHROMIUM), headless=True, args=list(_FLAGS)
                )
                _photograph(browser, told[1])
        finally:
            server.terminate()
            server.wait(timeout=30)


def _wait_until_open() -> None:
    for _ in range(120):
        try:
            urlopen(f"{SITE}/sign-in/").close()
            return
        except URLError:
            time.sleep(0.5)
    raise SystemExit("The workshop did not open.")


def _manage(env: dict[str, str], *command: str) -> str:
    done = subprocess.run(
        [sys.executable, "manage.py", *command], cwd=ROOT, env=env, check=True, capture_output=True, text=True
    )
    return done.stdout


def _photograph(browser: Browser, password: str) -> None:
    owner = _signed_in(browser, "maren", password, DESKTOP)
    _wait_for_jobs(owner, _address_of(owner, "recital dress"))
    _take(owner, "/desk/", "rail")
    garment = _address_of(owner, "recital dress")
    _take(owner, garment, "garment")
    _take(owner, garment + "measure/", "measure")
    _take(owner, garment + "estimate/", "estimate")
    _week(owner)
    _pieces(owner, garment)
    letter = _letter(owner)
    apprentice = _signed_in(browser, "pip", password, PHONE)
    _take(apprentice, "/bench/", "bench-phone")
    apprentice.goto(SITE + "/bench/cutting/")
    apprentice.get_by_role("link", name="Open the cutting list").first.click()
    apprentice.screenshot(path=str(OUT / "cut-phone.png"))
    customer = browser.new_context(viewport=PHONE).new_page()
    customer.goto(letter)
    customer.screenshot(path=str(OUT / "letter-phone.png"))


def _signed_in(browser: Browser, username: str, password: str, size: ViewportSize) -> Page:
    page = browser.new_context(viewport=size).new_page()
    page.goto(SITE + "/sign-in/")
    page.fill("[name=username]", username)
    page.fill("[name=password]", password)
    page.get_by_role("button", name="Sign in").click()
    return page


def _wait_for_jobs(page: Page, address: str) -> None:
    """Files, papers and the plan are made in the background: a page loads itself anew when they are there."""
    page.goto(SITE + address)
    expect(page.locator("progress")).to_have_count(0, timeout=JOBS_SECONDS * 1000)


def _address_of(page: Page, title: str) -> str:
    page.goto(SITE + "/desk/")
    address = page.get_by_role("link", name=title).first.get_attribute("href")
    assert address is not None
    return address


def _take(page: Page, address: str, name: str) -> None:
    page.goto(SITE + address)
    page.wait_for_timeout(200)
    page.screenshot(path=str(OUT / f"{name}.png"))


def _week(page: Page) -> None:
    """The first week with work in it: late in a week all that is left is planned into the next."""
    _wait_for_jobs(page, "/desk/week/")
    if page.get_by_text("No work is planned in this week.").count():
        page.get_by_role("link", name="The week after").click()
    page.wait_for_timeout(200)
    page.screenshot(path=str(OUT / "week.png"))


def _pieces(page: Page, garment: str) -> None:
    page.goto(SITE + garment)
    page.locator("section", has=page.get_by_role("heading", name="The pieces")).last.screenshot(
        path=str(OUT / "pieces.png")
    )


def _letter(page: Page) -> str:
    page.goto(SITE + _address_of(page, "birthday dress"))
    page.get_by_role("link", name=re.compile(r"^Order \d")).first.click()
    address = page.locator("a.link-address").get_attribute("href")
    assert address is not None
    return address


if __name__ == "__main__":
    main()
