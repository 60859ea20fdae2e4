"""The browser tests' own ground: the widths, the watch over faults, the jobs behind the pages."""

from __future__ import annotations

import pytest
from django.utils import timezone

import tests.rig.trial.tasks  # noqa: F401  registers the trial kinds of jobs
from tests.rig.processes import wait_until
from workshop import jobs
from workshop.people.models import Workshop

pytestmark = pytest.mark.browser

_SHEET = "/static/workshop/workshop.css"


@pytest.fixture(autouse=True)
def _no_icon(expected_faults):
    """A style sheet opened by itself names no icon, so the browser asks for one that is not there."""
    expected_faults.append("favicon")


def test_page_has_desktop_width(site, page):
    page.goto(site + _SHEET)

    assert page.evaluate("[innerWidth, navigator.maxTouchPoints]") == [1280, 0]


def test_phone_has_a_phones_screen_and_touch(site, phone):
    phone.goto(site + _SHEET)

    assert phone.evaluate("[screen.width, navigator.maxTouchPoints]") == [390, 1]


def test_page_notes_a_script_error(site, page, expected_faults):
    expected_faults.append("script error: .*on purpose")
    page.goto(site + _SHEET)

    page.evaluate("setTimeout(() => { throw new Error('on purpose') })")
    page.wait_for_timeout(100)


def test_site_runs_background_jobs(site, tmp_path):
    workshop = Workshop.objects.create(name="Thimble Row", created_at=timezone.now())

    job = jobs.request(kind="trial note", key="a", workshop=workshop, params={"note": str(tmp_path / "note")})

    wait_until(lambda: job.refresh_from_db() or job.state == "done", what="the job is done")
