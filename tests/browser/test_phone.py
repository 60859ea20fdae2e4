"""What differs on a phone."""

from __future__ import annotations

import pytest
from playwright.sync_api import ViewportSize, expect

from tests.rig.browser import DESKTOP, PHONE

pytestmark = pytest.mark.browser


@pytest.fixture
def size() -> ViewportSize:
    return PHONE


def test_long_parts_are_folded_until_a_link_leads_there(guests, furnished):
    owner = guests()
    owner.sign_in(furnished.owner)

    owner.go(f"/desk/garments/{furnished.cut_garment}/")
    pieces = owner.page.locator("#pieces figure").first

    expect(pieces).to_be_hidden()
    owner.follow("Pieces")
    expect(pieces).to_be_visible()
    expect(owner.page.locator("#sewing li").first).to_be_hidden()
    owner.page.set_viewport_size(DESKTOP)
    owner.go(f"/desk/garments/{furnished.cut_garment}/?wide=1")
    expect(owner.page.locator("#sewing li").first).to_be_visible()
