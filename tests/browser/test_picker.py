"""Choosing a style: the drawing follows each choice, by mouse or keys, and stays in sight on a phone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.person import Person

pytestmark = pytest.mark.browser
DRAWN = "[data-drawn] svg.garment"


@pytest.fixture
def owner(guests, furnished) -> Person:
    owner = guests()
    owner.sign_in(furnished.owner)
    owner.go("/desk/orders/new/")
    expect(owner.page.locator(DRAWN)).to_be_visible()
    return owner


def pick(page: Page, style: str) -> None:
    """Choose a style and wait for its choices and its drawing."""
    page.select_option("[name=style]", style)
    expect(page.locator(f"[name^='{style}--']").first).to_be_attached()
    expect(page.locator(f"{DRAWN} title")).to_have_text(style.replace("-", " "))


def settled(page: Page) -> str:
    """The drawing once nothing is being drawn."""
    expect(page.locator("[data-drawn]:not([aria-busy])")).to_be_attached()
    return page.locator(DRAWN).inner_html()


def test_the_drawing_follows_style_and_choices(owner):
    page = owner.page
    for style in ("trousers", "shirt-blouse", "party-dress"):
        pick(page, style)
        owner.fits()
    bare = settled(page)

    with page.expect_response(lambda answer: "/styles/drawn/" in answer.url):
        page.select_option("[name='party-dress--sleeve']", "puff")

    assert settled(page) != bare
    owner.sees("sleeve length from the shoulder")


def test_only_what_matters_is_asked_and_sent(owner):
    page = owner.page
    pick(page, "party-dress")
    width = page.locator("[name='party-dress--belt_width']")
    expect(width).to_be_hidden()

    page.select_option("[name='party-dress--belt']", "straight")
    expect(width).to_be_visible()
    width.fill("two ells")
    owner.sees("Width of the belt")
    expect(page.locator("[data-drawn] .notice.bad")).to_contain_text("belt")

    page.select_option("[name='party-dress--belt']", "none")
    expect(width).to_be_hidden()
    expect(page.locator(DRAWN)).to_be_visible()


def test_what_cannot_go_together_is_greyed_with_its_reason(owner):
    page = owner.page
    pick(page, "party-dress")

    page.select_option("[name='party-dress--sleeve']", "bell")

    end = page.locator("[name='party-dress--sleeve_end']")
    expect(end.locator("option[value=cuff]")).to_be_disabled()
    expect(end.locator("option[value=hem]")).to_be_enabled()
    expect(page.locator(".field", has=end)).to_contain_text("A bell sleeve hangs open at its hem.")


def test_reasons_stand_under_one_another(owner):
    page = owner.page
    pick(page, "party-dress")
    page.select_option("[name='party-dress--sleeve']", "long")
    page.select_option("[name='party-dress--sleeve_end']", "cuff")

    notes = page.locator(".field:has([name='party-dress--sleeve']) [data-clash]")

    expect(notes).to_have_count(2)
    # Both at one moment: the page moves while the drawing comes.
    first, second = notes.evaluate_all("notes => notes.map((note) => note.getBoundingClientRect().toJSON())")
    assert first["bottom"] <= second["top"] + 1


def test_a_style_is_chosen_by_keys_alone(owner):
    page = owner.page
    style = page.locator("[name=style]")
    style.focus()
    before = style.input_value()

    page.keyboard.press("ArrowDown")

    assert style.input_value() != before
    expect(page.locator(f"{DRAWN} title")).to_have_text(style.input_value().replace("-", " "))
    assert style.evaluate("field => field === document.activeElement")


def test_what_was_folded_stays_folded(owner, size):
    page = owner.page
    fold = page.locator("[data-fold=measures]")
    roomy = size["width"] > 900
    expect(fold).to_have_js_property("open", roomy)
    fold.locator("summary").click()

    pick(page, "trousers")

    expect(fold).to_have_js_property("open", not roomy)


def test_the_drawing_stays_in_sight_down_to_the_last_choice(owner):
    page = owner.page
    pick(page, "princess-dress")
    last = page.locator("[name='princess-dress--belt']")
    page.emulate_media(reduced_motion="reduce")  # no smooth scrolling to wait for

    last.focus()

    drawn, field = page.locator(DRAWN).bounding_box(), last.bounding_box()
    assert drawn["y"] >= -1
    assert drawn["y"] + drawn["height"] <= page.viewport_size["height"]
    beside = field["x"] + field["width"] <= drawn["x"]
    assert beside or field["y"] >= drawn["y"] + drawn["height"]


def test_what_was_written_stays_when_another_style_is_only_passed_by(owner):
    page = owner.page
    shown = page.input_value("[name=style]")
    written = page.locator(f"[name='{shown}--skirt_length']")
    written.fill("61")
    never_answered: list[Route] = []

    def leave(asked: Route) -> None:
        never_answered.append(asked)

    page.route(re.compile("choices/.style=trousers"), leave)

    page.select_option("[name=style]", "trousers")
    page.select_option("[name=style]", shown)

    expect(page.locator("[data-choices]:not([aria-busy])")).to_be_attached()
    assert len(never_answered) == 1
    assert written.input_value() == "61"


def test_going_back_shows_the_choices_of_the_style_that_was_chosen(owner):
    page = owner.page
    pick(page, "trousers")

    owner.go("/desk/")
    page.go_back()

    expect(page.locator("[name=style]")).to_have_value("trousers")
    expect(page.locator("[name='trousers--leg']")).to_be_visible()
    expect(page.locator("[name^='notched-collar-dress--']")).to_have_count(0)
