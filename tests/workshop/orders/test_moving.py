from __future__ import annotations

from datetime import timedelta

import pytest

from costing.models import StockMove
from costing.queries import reserved_for, stock_of
from tests.workshop.orders.house import (
    NOW,
    accept,
    buy,
    draft,
    garment_of,
    hold,
    lay,
    measure,
    open_house,
    pay,
    take,
    tick_all,
    to_cut,
    to_sew,
)
from workshop.errors import Refusal
from workshop.orders import queries, services
from workshop.orders.models import Garment
from workshop.orders.services import CannotMove, move_garment
from workshop.people.models import LogEntry


def test_move_garment_goes_through_all_six_stages(house, order):
    garment = to_sew(house, order)
    for to in ("fit", "deliver", "delivered"):
        if to == "deliver":
            hold(house, garment)
        if to == "delivered":
            services.issue_invoice(order=order, kind="final", by=house.owner, now=NOW)
            pay(house, order, queries.balance(order).due)
        garment = move_garment(garment=garment, to=to, by=house.owner, now=NOW)

    garment.refresh_from_db()
    assert (garment.stage, garment.delivered_at) == ("delivered", NOW)
    moves = LogEntry.objects.filter(action="move garment").order_by("pk")
    assert [(entry.before["stage"], entry.after["stage"]) for entry in moves] == [
        ("draft", "cut"),
        ("cut", "sew"),
        ("sew", "fit"),
        ("fit", "deliver"),
        ("deliver", "delivered"),
    ]
    assert [entry.actor for entry in moves] == ["Fenna", "Ilse", "Fenna", "Fenna", "Fenna"]


@pytest.mark.parametrize(
    ("stage", "to", "words"),
    [
        ("measure", "cut", "Grey dress is at measure; from there it goes to draft."),
        ("cut", "fit", "Grey dress is at cut; from there it goes to sew or draft."),
        ("fit", "fit", "Grey dress is at fit already."),
        ("delivered", "deliver", "Grey dress is delivered; it moves no further."),
        ("sew", "moon", "Grey dress is at sew; from there it goes to fit or cut."),
    ],
)
def test_move_garment_refuses_a_move_that_does_not_exist(house, garment, stage, to, words):
    Garment.objects.filter(pk=garment.pk).update(stage=stage)

    with pytest.raises(CannotMove) as refused:
        move_garment(garment=garment, to=to, by=house.owner, now=NOW, reason="x", owner_word=True)

    assert str(refused.value) == words
    garment.refresh_from_db()
    assert garment.stage == stage


def test_move_garment_says_all_that_is_missing(house, garment):
    draft(house, garment)

    with pytest.raises(CannotMove) as refused:
        move_garment(garment=garment, to="cut", by=house.owner, now=NOW)

    assert str(refused.value) == (
        "Grey dress cannot go to cut yet. Prepare the quote. "
        "Make the lay plans, so that it is known how much cloth it takes."
    )


def test_move_garment_names_the_cloth_to_buy(house, order, garment):
    pay(house, order, accept(house, order).deposit)

    with pytest.raises(CannotMove) as refused:
        move_garment(garment=garment, to="cut", by=house.owner, now=NOW)

    shell, fusible = queries.current_lays(queries.current_draft(garment))
    assert str(refused.value) == (
        f"Grey dress cannot go to cut yet. Buy cloth: {shell.buy_length_mm / 1000:g} m of Grey satin; "
        f"{fusible.buy_length_mm / 1000:g} m of Light fusible."
    )


def test_move_garment_asks_for_the_cloth_that_nobody_chose(house, garment):
    garment.cloths.filter(role="interfacing").delete()
    lay(draft(house, garment))

    assert queries.moves(garment)[0].refusals == [
        "Prepare the quote.",
        "Choose the cloth for the interfacing.",
    ]


def test_move_garment_back_needs_a_reason(house, order):
    garment = to_sew(house, order)

    with pytest.raises(CannotMove) as refused:
        move_garment(garment=garment, to="cut", by=house.apprentice, now=NOW, reason=" ")

    assert (refused.value.field, str(refused.value)) == (
        "reason",
        "Say why it goes back; the next one who works on it reads it.",
    )
    moved = move_garment(garment=garment, to="cut", by=house.apprentice, now=NOW, reason="a sleeve is torn")
    assert moved.stage == "cut"
    assert LogEntry.objects.latest("pk").summary == "Moved Grey dress from sew to cut: a sleeve is torn"


def test_move_garment_on_the_owner_s_word_overlooks_the_deposit(house, order):
    buy(house, house.satin)
    buy(house, house.interfacing)
    accept(house, order)
    garment = garment_of(order)
    move = {"garment": garment, "to": "cut", "now": NOW, "owner_word": True}
    with pytest.raises(CannotMove, match=r"Grey dress cannot go to cut yet\. The deposit is not in yet\."):
        move_garment(garment=garment, to="cut", by=house.owner, now=NOW, reason="an old friend")
    with pytest.raises(CannotMove, match=r"^Only the owner can move it on her word\.$"):
        move_garment(**move, by=house.apprentice, reason="an old friend")
    with pytest.raises(CannotMove, match=r"^Say why you move it all the same\.$"):
        move_garment(**move, by=house.owner)

    moved = move_garment(**move, by=house.owner, reason="an old friend")

    assert moved.stage == "cut"
    assert LogEntry.objects.latest("pk").after == {"stage": "cut", "on_the_owners_word": True}


def test_move_garment_on_the_owner_s_word_does_not_overlook_the_cloth(house, order, garment):
    accept(house, order)

    with pytest.raises(
        CannotMove, match="That cannot be overlooked, even by the owner: The deposit is not in"
    ):
        move_garment(garment=garment, to="cut", by=house.owner, now=NOW, reason="x", owner_word=True)


def test_move_garment_delivers_unpaid_only_on_the_owner_s_word(house, order):
    garment = to_sew(house, order)
    move_garment(garment=garment, to="fit", by=house.owner, now=NOW)
    hold(house, garment)
    move_garment(garment=garment, to="deliver", by=house.owner, now=NOW)
    due = queries.balance(order).due
    with pytest.raises(CannotMove) as refused:
        move_garment(garment=garment, to="delivered", by=house.owner, now=NOW)

    moved = move_garment(
        garment=garment, to="delivered", by=house.owner, now=NOW, reason="pays on Friday", owner_word=True
    )

    assert str(refused.value) == f"Grey dress cannot go to delivered yet. EUR\u00a0{due:.2f} is still to pay."
    assert moved.stage == "delivered"


def test_move_garment_to_deliver_needs_a_fitting_that_fits(house, order):
    garment = to_sew(house, order)
    garment = move_garment(garment=garment, to="fit", by=house.owner, now=NOW)
    hold(house, garment, "alteration", after=timedelta(days=8))
    with pytest.raises(CannotMove, match=r"Book a fitting and try it on\."):
        move_garment(garment=garment, to="deliver", by=house.owner, now=NOW)

    hold(house, garment, "fits", after=timedelta(days=9))

    assert move_garment(garment=garment, to="deliver", by=house.owner, now=NOW).stage == "deliver"


def test_move_garment_to_deliver_forgets_a_fitting_of_an_older_draft(house, order):
    garment = to_sew(house, order)
    hold(house, garment, "fits", after=timedelta(days=1))
    draft(house, garment, now=NOW + timedelta(days=2))
    Garment.objects.filter(pk=garment.pk).update(stage="fit")

    assert queries.moves(garment)[0].refusals == ["Book a fitting and try it on."]


def test_move_garment_back_to_measure_waits_for_new_measurements(house, order):
    garment = to_sew(house, order)
    Garment.objects.filter(pk=garment.pk).update(stage="fit")

    garment = move_garment(garment=garment, to="measure", by=house.owner, now=NOW, reason="she is with child")

    assert queries.next_need(garment) == "Measure Marta Quist."
    with pytest.raises(CannotMove, match=r"Measure Marta Quist\."):
        move_garment(garment=garment, to="draft", by=house.owner, now=NOW)
    measure(house, garment, bust_girth="95")
    garment.refresh_from_db()
    assert garment.stage == "draft"


def test_move_garment_refuses_a_cancelled_order(house, order, garment):
    draft(house, garment)
    services.cancel_order(order=order, reason="moved away", by=house.owner, now=NOW)

    with pytest.raises(
        CannotMove, match=r"^Grey dress cannot go to measure yet\. The order was cancelled\.$"
    ):
        move_garment(garment=garment, to="measure", by=house.owner, now=NOW, reason="x")


def test_move_garment_refuses_another_workshop_s_staff(house, garment):
    with pytest.raises(Refusal, match=r"^There is no such staff in this workshop\.$"):
        move_garment(garment=garment, to="draft", by=open_house("Other").owner, now=NOW)


def test_move_garment_to_sew_takes_the_lay_s_length_off_the_shelf(house, order):
    garment = to_sew(house, order)

    shell, fusible = queries.current_lays(queries.current_draft(garment))
    stock = stock_of([house.satin.pk, house.interfacing.pk])
    assert stock[house.satin.pk].on_shelf == pytest.approx(20_000 - shell.length_mm, abs=0.01)
    assert stock[house.interfacing.pk].on_shelf == pytest.approx(20_000 - fusible.length_mm, abs=0.01)
    assert reserved_for(garment.pk) == {}


def test_move_garment_to_sew_again_takes_nothing_twice(house, order):
    garment = to_sew(house, order)
    shelf = stock_of([house.satin.pk])
    garment = move_garment(garment=garment, to="cut", by=house.owner, now=NOW, reason="a sleeve is torn")

    move_garment(garment=garment, to="sew", by=house.owner, now=NOW)

    assert stock_of([house.satin.pk]) == shelf


def test_move_garment_that_was_cut_needs_no_cloth_again(house, order):
    garment = to_sew(house, order)
    garment = move_garment(garment=garment, to="cut", by=house.owner, now=NOW, reason="torn")
    garment = move_garment(garment=garment, to="draft", by=house.owner, now=NOW, reason="to look at it")

    assert move_garment(garment=garment, to="cut", by=house.owner, now=NOW).stage == "cut"


def test_move_garment_to_sew_takes_the_cloth_of_a_new_draft(house, order):
    garment = to_sew(house, order)
    later = NOW + timedelta(days=1)
    lay(draft(house, garment, now=later), now=later)
    services.reserve_waiting(workshop=house.workshop, cloth=house.satin, now=later)
    services.reserve_waiting(workshop=house.workshop, cloth=house.interfacing, now=later)
    garment = move_garment(garment=garment, to="cut", by=house.owner, now=later)
    tick_all(house, garment)

    move_garment(garment=garment, to="sew", by=house.owner, now=later)

    cut = StockMove.objects.filter(garment=garment, cloth=house.satin, kind="cut")
    assert [move.at for move in cut.order_by("pk")] == [NOW, later]


def test_tick_cutting_line_notes_who_and_when_once(house, order):
    garment = to_cut(house, order)
    line = queries.cutting_lines(queries.current_draft(garment))[0]

    services.tick_cutting_line(line=line, by=house.apprentice, now=NOW)
    services.tick_cutting_line(line=line, by=house.owner, now=NOW + timedelta(hours=1))

    line.refresh_from_db()
    assert (line.cut_by, line.cut_at) == (house.apprentice, NOW)
    assert LogEntry.objects.filter(action="tick line").count() == 1


def test_untick_cutting_line_takes_it_back_and_holds_the_garment(house, order):
    garment = to_cut(house, order)
    tick_all(house, garment)
    line = queries.cutting_lines(queries.current_draft(garment))[0]

    services.untick_cutting_line(line=line, by=house.owner, now=NOW)
    services.untick_cutting_line(line=line, by=house.owner, now=NOW)

    line.refresh_from_db()
    count = line.draft.cutting_lines.count()
    assert (line.cut_by, line.cut_at) == (None, None)
    assert LogEntry.objects.filter(action="untick line").count() == 1
    with pytest.raises(CannotMove) as refused:
        move_garment(garment=garment, to="sew", by=house.owner, now=NOW)
    assert str(refused.value) == (
        f"Grey dress cannot go to sew yet. 1 of {count} lines of the cutting list are not cut yet."
    )


@pytest.mark.parametrize("service", [services.tick_cutting_line, services.untick_cutting_line])
def test_tick_cutting_line_refuses_what_must_not_be_cut(house, order, service):
    garment = to_cut(house, order)
    line = queries.cutting_lines(queries.current_draft(garment))[0]
    with pytest.raises(Refusal, match=r"^There is no such staff in this workshop\.$"):
        service(line=line, by=open_house("Other").owner, now=NOW)
    Garment.objects.filter(pk=garment.pk).update(stage="draft")
    with pytest.raises(Refusal, match=r"^Grey dress is at draft; nothing is cut now\.$"):
        service(line=line, by=house.apprentice, now=NOW)

    services.cancel_order(order=order, reason="moved away", by=house.owner, now=NOW)
    with pytest.raises(Refusal, match=r"^The order was cancelled; nothing is cut for it\.$"):
        service(line=line, by=house.apprentice, now=NOW)


def test_tick_cutting_line_of_a_superseded_draft_is_refused(house, order):
    garment = to_cut(house, order)
    line = queries.cutting_lines(queries.current_draft(garment))[0]
    services.draft_garment(garment=garment, by=house.owner, now=NOW)

    with pytest.raises(Refusal) as refused:
        services.tick_cutting_line(line=line, by=house.apprentice, now=NOW)

    assert str(refused.value) == (
        "This cutting list belongs to a superseded draft. Do not cut from it; open the new one."
    )


def test_take_order_s_garment_ticks_start_at_none(house):
    order = take(house)
    made = draft(house, garment_of(order))

    assert made.cutting_lines.exclude(cut_at=None).count() == 0
