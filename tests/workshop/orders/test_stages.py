from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from workshop.orders.rules.stages import (
    DELIVERED,
    RULES,
    STAGES,
    Facts,
    is_waivable,
    moves_from,
    next_need,
    progress_words,
    refusals,
    rule_for,
)

READY = Facts(
    stage="measure",
    wearer="Marta",
    measured=True,
    drafted=True,
    quote="accepted",
    deposit_needed=True,
    deposit_in=True,
    laid=True,
    cutting_lines=9,
    fits=True,
    settled=True,
    due_words="120.00 EUR",
)
"""Nothing is missing for any move."""

MOVES = {
    ("measure", "draft"),
    ("draft", "cut"),
    ("cut", "sew"),
    ("sew", "fit"),
    ("fit", "deliver"),
    ("deliver", "delivered"),
    ("draft", "measure"),
    ("cut", "draft"),
    ("sew", "cut"),
    ("fit", "sew"),
    ("fit", "cut"),
    ("fit", "measure"),
    ("deliver", "sew"),
}


@pytest.mark.parametrize(("start", "to"), [*product((*STAGES, DELIVERED), repeat=2)])
def test_rule_for_knows_each_move_and_no_other(start, to):
    found = rule_for(start, to)

    assert (found is not None) == ((start, to) in MOVES)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: f"{rule.start}-{rule.to}")
def test_refusals_are_empty_where_nothing_is_missing(rule):
    assert refusals(rule, replace(READY, stage=rule.start)) == []


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: f"{rule.start}-{rule.to}")
def test_refusals_of_a_cancelled_order_refuse_every_move_also_back(rule):
    facts = replace(READY, stage=rule.start, cancelled=True)

    assert refusals(rule, facts) == ["The order was cancelled."]
    assert is_waivable(rule, facts) is False


GUARDS = [
    ("measure", "draft", {"measured": False}, "Measure Marta."),
    ("draft", "cut", {"drafted": False}, "Draft the pattern."),
    (
        "draft",
        "cut",
        {"checks_failed": 2},
        "2 checks of the draft failed: mend the measurements, or waive them.",
    ),
    ("draft", "cut", {"quote": "none"}, "Prepare the quote."),
    ("draft", "cut", {"quote": "superseded"}, "Prepare the quote."),
    ("draft", "cut", {"quote": "withdrawn"}, "Prepare the quote."),
    ("draft", "cut", {"quote": "open"}, "Send the quote."),
    ("draft", "cut", {"quote": "sent"}, "The customer has not answered the quote yet."),
    (
        "draft",
        "cut",
        {"quote": "sent", "quote_expired": True},
        "The quote ran out without an answer: send a new version.",
    ),
    (
        "draft",
        "cut",
        {"quote": "declined"},
        "The quote was declined: send a new version or cancel the order.",
    ),
    (
        "draft",
        "cut",
        {"quote_outdated": True},
        "The garment was changed after the quote was accepted: send a new version.",
    ),
    ("draft", "cut", {"deposit_in": False}, "The deposit is not in yet."),
    (
        "draft",
        "cut",
        {"laid": False},
        "Make the lay plans, so that it is known how much cloth it takes.",
    ),
    (
        "draft",
        "cut",
        {"cloth_unchosen": ("lining", "interfacing")},
        "Choose the cloth for the lining and the interfacing.",
    ),
    (
        "draft",
        "cut",
        {"cloth_lacking": ("2.4 m of Satin", "0.5 m of Fusible")},
        "Buy cloth: 2.4 m of Satin; 0.5 m of Fusible.",
    ),
    ("cut", "sew", {"lines_left": 3}, "3 of 9 lines of the cutting list are not cut yet."),
    ("cut", "sew", {"cutting_lines": 0}, "0 of 0 lines of the cutting list are not cut yet."),
    ("sew", "fit", {"sewing_left": 4}, "4 tasks before the fitting are not done yet."),
    ("fit", "deliver", {"fits": False}, "Book a fitting and try it on."),
    (
        "fit",
        "deliver",
        {"fits": False, "fitting_booked": "Monday 3 May, 10:00"},
        "The fitting is on Monday 3 May, 10:00.",
    ),
    ("deliver", DELIVERED, {"finishing_left": 1}, "1 tasks are not done yet."),
    ("deliver", DELIVERED, {"settled": False}, "120.00 EUR is still to pay."),
    (
        "deliver",
        DELIVERED,
        {"settled": False, "quote": "sent"},
        "No price is agreed: the quote is not accepted.",
    ),
]


@pytest.mark.parametrize(("start", "to", "missing", "words"), GUARDS)
def test_refusals_say_what_is_missing(start, to, missing, words):
    facts = replace(READY, stage=start, **missing)

    assert refusals(rule_for(start, to), facts) == [words]
    assert next_need(facts) == words


WAIVABLE = {"The deposit is not in yet.", "Book a fitting and try it on.", "120.00 EUR is still to pay."} | {
    "The fitting is on Monday 3 May, 10:00.",
    "No price is agreed: the quote is not accepted.",
}


@pytest.mark.parametrize(("start", "to", "missing", "words"), GUARDS)
def test_is_waivable_only_for_what_the_owner_may_overlook(start, to, missing, words):
    facts = replace(READY, stage=start, **missing)

    assert is_waivable(rule_for(start, to), facts) is (words in WAIVABLE)


def test_is_waivable_is_false_where_something_else_is_missing_too():
    facts = replace(READY, stage="draft", deposit_in=False, laid=False)

    assert is_waivable(rule_for("draft", "cut"), facts) is False


def test_is_waivable_is_false_where_nothing_is_missing():
    assert is_waivable(rule_for("draft", "cut"), replace(READY, stage="draft")) is False


def test_refusals_list_all_that_is_missing_in_order():
    facts = Facts(stage="draft", drafted=False, quote="none", deposit_needed=True)

    found = refusals(rule_for("draft", "cut"), facts)

    assert found == ["Draft the pattern.", "Prepare the quote.", "The deposit is not in yet."]


def test_refusals_let_waived_checks_pass():
    facts = replace(READY, stage="draft", checks_failed=2, checks_waived=True)

    assert refusals(rule_for("draft", "cut"), facts) == []


def test_refusals_ask_for_no_deposit_where_the_workshop_does_not():
    facts = replace(READY, stage="draft", deposit_needed=False, deposit_in=False)

    assert refusals(rule_for("draft", "cut"), facts) == []


@pytest.mark.parametrize(
    ("stage", "words"),
    [
        ("measure", "Ready: move it to draft."),
        ("draft", "Ready: move it to cut."),
        ("cut", "Ready: move it to sew."),
        ("sew", "Ready: move it to fit."),
        ("fit", "Ready: move it to deliver."),
        ("deliver", "Hand it over."),
        (DELIVERED, "Delivered."),
    ],
)
def test_next_need_names_the_next_move_where_nothing_is_missing(stage, words):
    assert next_need(replace(READY, stage=stage)) == words


def test_next_need_of_a_cancelled_order_is_nothing():
    assert next_need(replace(READY, stage="sew", cancelled=True)) == "Cancelled."


@pytest.mark.parametrize("stage", STAGES)
def test_moves_from_begin_with_the_one_onward(stage):
    found = moves_from(stage)

    assert [rule.back for rule in found] == [False, *[True] * (len(found) - 1)]


def test_moves_from_delivered_are_none():
    assert moves_from(DELIVERED) == ()


def test_progress_words_has_words_for_every_stage():
    assert len({progress_words(stage) for stage in (*STAGES, DELIVERED)}) == 7
