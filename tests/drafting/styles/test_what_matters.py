"""Choices that matter only beside others: neither asked nor told where they make no difference."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import size_of
from drafting.styles import STYLES, Choice, choice_words, customer_words
from drafting.units import Unit


def another(choice: Choice) -> object:
    """A value of a choice that is not its default."""
    if choice.kind == "option":
        return next(value for value, _ in choice.options if value != choice.default)
    return choice.high


def idle(style: str) -> list[tuple[str, str]]:
    defaults = {choice.name: choice.default for choice in STYLES[style].choices}
    return [(style, choice.name) for choice in STYLES[style].choices if not choice.matters(defaults)]


@pytest.mark.parametrize(("style", "name"), [pair for style in STYLES for pair in idle(style)])
def test_what_is_not_asked_makes_no_difference(style: str, name: str) -> None:
    choice = next(choice for choice in STYLES[style].choices if choice.name == name)
    body = size_of("woman-92-168").body()

    assert make_draft(style, body, {name: another(choice)}).pieces == make_draft(style, body, {}).pieces


@pytest.mark.parametrize("style", STYLES)
def test_what_a_choice_depends_on_is_a_choice_of_the_style(style: str) -> None:
    asked = {choice.name: {value for value, _ in choice.options} for choice in STYLES[style].choices}

    for choice in STYLES[style].choices:
        if choice.only_with and choice.only_with[0] in asked:
            assert set(choice.only_with[1]) <= asked[choice.only_with[0]]


def test_only_what_matters_is_told() -> None:
    bare = dict(choice_words("party-dress", {"skirt": "gathered"}, Unit.CM))
    dressed = dict(choice_words("party-dress", {"skirt": "circle", "sleeve": "puff"}, Unit.CM))

    assert [title in bare for title in ("Armholes", "Edge of the sleeve", "How much of a circle")] == [
        1,
        0,
        0,
    ]
    assert [title in dressed for title in ("Armholes", "Edge of the sleeve", "How much of a circle")] == [
        0,
        1,
        1,
    ]


def test_a_choice_matters_where_what_it_depends_on_is_not_asked() -> None:
    words = dict(choice_words("notched-collar-dress", {}, Unit.CM))

    assert words["Armholes"] == "faced"


def test_a_customer_reads_nothing_of_what_goes_without_saying() -> None:
    unlined = {"sit": "as the house has it", "lining": "none", "belt": "none", "closure": "none"}
    plain = dict(customer_words("shift-dress", unlined, Unit.CM))
    lined = dict(customer_words("shift-dress", {"cloth_kind": "stretch", "closure": "hook"}, Unit.CM))

    assert {"How it sits", "Kind of cloth", "Lining", "Belt"} <= dict(
        choice_words("shift-dress", {}, Unit.CM)
    ).keys()
    assert plain.keys().isdisjoint({"How it sits", "Kind of cloth", "Lining", "Belt"})
    assert plain["Closure"] == "none: it is pulled over the head"
    assert lined["Kind of cloth"] == "stretch: knitted, or with elastane"
