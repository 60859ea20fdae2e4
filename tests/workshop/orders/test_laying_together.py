"""Garments laid together: what is kept, what stock and estimates make of it, when it is dissolved."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from math import ceil

import pytest

from costing.queries import lengths_of, reserved_for, stock_of
from drafting.layplan import items_together, verify
from tests.workshop.orders.house import (
    NOW,
    accept,
    add_wearer,
    buy,
    draft,
    lay,
    measure,
    open_house,
    pay,
    quote,
    set_prices,
    take,
    tick_all,
    wish,
)
from workshop.errors import Refusal
from workshop.orders import queries, services
from workshop.orders.models import Garment, GarmentCloth, JointLay, LayPlan
from workshop.orders.services import CannotJoin


@pytest.fixture
def party(house):
    """An order of three garments of one cloth, drafted and laid; two are enough for most tests."""
    set_prices(house)
    house.workshop.refresh_from_db()
    order = take(house, wishes=[wish(house, title=title) for title in ("Bride", "Maid")])
    for garment in order.garments.order_by("position"):
        lay(draft(house, garment))
    return order


def garments(order):
    return list(order.garments.order_by("position"))


def shells(order):
    return [queries.current_lays(queries.current_draft(garment))[0] for garment in garments(order)]


def join(house, order) -> JointLay:
    drafts = [queries.current_draft(garment) for garment in garments(order)]
    return services.make_joint_lay(cloth=house.satin, drafts=drafts, now=NOW, seconds=1.0)


def test_make_joint_lay_lays_every_piece_of_each_and_saves_cloth(house, party):
    singles = shells(party)

    joint = join(house, party)

    parts = shells(party)
    plan = queries.lay_value(parts[0])
    patterns = [queries.pattern_of(part.draft) for part in parts]
    items = [
        replace(item, name="AB"[int(item.name[0]) - 1] + item.name[1:])
        for item in items_together(patterns, "shell", plan.cloth)
    ]
    assert verify(plan, items) == ()
    assert {placed.piece.split()[0] for placed in plan.placed} == {"A", "B"}
    assert joint.single_mm == sum(single.buy_length_mm for single in singles)
    assert joint.buy_length_mm < joint.single_mm
    assert [part.single for part in parts] == singles
    assert [part.letter for part in parts] == ["A", "B"]
    assert singles[0].letter == ""
    assert queries.lay_value(parts[1]) == plan


def test_the_shares_of_a_joint_lay_add_up_to_it(house, party):
    joint = join(house, party)

    parts = shells(party)
    assert sum(part.buy_length_mm for part in parts) == pytest.approx(joint.buy_length_mm, abs=1e-6)
    assert sum(part.length_mm for part in parts) == pytest.approx(joint.length_mm, abs=1e-6)


def test_the_saving_of_a_joint_lay_is_length_and_money(house, party):
    joint = join(house, party)

    saving = queries.saving_of(joint)

    assert saving.length_mm == joint.single_mm - joint.buy_length_mm
    assert saving.money == Decimal(str(saving.length_mm / 1000)) * 24


def test_the_estimates_follow_a_joint_lay(house, party):
    for garment in garments(party):
        services.estimate_garment(garment=garment, now=NOW)
    before = [queries.current_estimate(garment).net for garment in garments(party)]

    joint = join(house, party)

    lines = [
        next(line for line in queries.current_estimate(row).content["lines"] if line["kind"] == "cloth")
        for row in garments(party)
    ]
    assert sum(Decimal(line["quantity"]) for line in lines) == pytest.approx(
        Decimal(str(joint.buy_length_mm / 1000)), abs=Decimal("0.002")
    )
    assert "several garments are laid" in lines[0]["why"]
    assert sum(queries.current_estimate(row).net for row in garments(party)) < sum(before)


def test_a_joint_lay_is_set_aside_from_one_length_or_not_at_all(house, party):
    accept(house, party)
    joint = join(house, party)
    need = sum(part.need_mm for part in shells(party))

    nothing = buy(house, house.satin, need * 0.6)
    served = buy(house, house.satin, joint.buy_length_mm)

    moves = house.workshop.stock_moves.filter(cloth=house.satin, kind="reserved")
    assert nothing == []
    assert served == garments(party)
    assert len({move.taken_from_id for move in moves}) == 1
    assert sum(move.amount for move in moves) == pytest.approx(need)


def test_the_buying_list_has_one_length_for_a_joint_lay(house, party):
    accept(house, party)
    joint = join(house, party)
    need = sum(part.need_mm for part in shells(party))
    # Each share would fit on its own length; together they do not.
    for _ in range(2):
        buy(house, house.satin, need * 0.6)

    lines = queries.buying_list(house.workshop, {}).suppliers[0][1]

    [line] = [line for line in lines if line.row == house.satin]
    assert line.amount == joint.buy_length_mm == ceil(need / 100) * 100
    assert list(line.garments) == garments(party)


def test_joining_what_is_set_aside_already_sets_it_aside_anew(house, party):
    accept(house, party)
    buy(house, house.satin, 10_000.0)
    before = stock_of([house.satin.pk])[house.satin.pk].reserved

    join(house, party)

    held = [reserved_for(garment.pk)[house.satin.pk] for garment in garments(party)]
    assert held == pytest.approx([part.need_mm for part in shells(party)])
    assert sum(held) < before


def test_a_new_draft_of_one_dissolves_the_joint_lay_and_the_others_have_their_own_again(house, party):
    singles = shells(party)
    accept(house, party)
    buy(house, house.satin, 10_000.0)
    joint = join(house, party)
    first, second = garments(party)

    services.draft_garment(garment=first, by=house.owner, now=NOW)

    joint.refresh_from_db()
    assert joint.dissolved_at == NOW
    assert joint.dissolved_reason == "Bride changed: drafted anew"
    assert queries.current_lays(queries.current_draft(second))[0] == singles[1]
    assert reserved_for(second.pk)[house.satin.pk] == pytest.approx(singles[1].need_mm)
    assert house.satin.pk not in reserved_for(first.pk)
    assert list(queries.current_lays(queries.current_draft(first))) == []


def test_laying_one_anew_dissolves_it_too(house, party):
    joint = join(house, party)

    services.make_lay_plans(draft=queries.current_draft(garments(party)[0]), now=NOW, seconds=0.3)

    joint.refresh_from_db()
    assert joint.dissolved_reason == "Bride was laid anew"
    assert [row.joint for row in shells(party)] == [None, None]


def test_cancelling_the_order_dissolves_it(house, party):
    joint = join(house, party)

    services.cancel_order(order=party, reason="moved away", by=house.owner, now=NOW)

    joint.refresh_from_db()
    assert joint.dissolved_at == NOW


def test_lay_apart_gives_each_its_own_lay_again_once(house, party):
    singles = shells(party)
    joint = join(house, party)

    services.lay_apart(joint=joint, by=house.owner, now=NOW)
    with pytest.raises(Refusal, match=r"^These garments are laid by themselves already\.$"):
        services.lay_apart(joint=joint, by=house.owner, now=NOW)

    assert shells(party) == singles
    with pytest.raises(Refusal, match="Only the owner"):
        services.lay_apart(joint=joint, by=house.apprentice, now=NOW)


def test_cutting_takes_each_share_from_the_common_length_and_a_later_change_leaves_what_is_cut(house, party):
    agreed = accept(house, party)
    pay(house, party, agreed.deposit)
    joint = join(house, party)
    buy(house, house.interfacing)
    buy(house, house.satin, joint.buy_length_mm)
    first, second = garments(party)
    services.move_garment(garment=first, to="cut", by=house.owner, now=NOW)
    tick_all(house, first)
    services.move_garment(garment=first, to="sew", by=house.owner, now=NOW)
    part = shells(party)[0]

    services.draft_garment(garment=second, by=house.owner, now=NOW)

    moves = house.workshop.stock_moves.filter(cloth=house.satin, kind="cut")
    assert [(move.garment, move.amount) for move in moves] == [(first, pytest.approx(part.cut_mm))]
    assert shells_of(first) == part
    [left] = lengths_of([house.satin.pk])[house.satin.pk]
    assert left.free == pytest.approx(joint.buy_length_mm - part.cut_mm, abs=1.0)


def shells_of(garment):
    return queries.current_lays(queries.current_draft(garment))[0]


def test_make_joint_lay_keeps_nothing_where_nothing_is_saved(house, party):
    LayPlan.objects.filter(role="shell").update(buy_length_mm=100.0)

    with pytest.raises(CannotJoin, match="nothing is saved, so each stays laid by itself"):
        join(house, party)

    assert JointLay.objects.count() == 0
    assert [row.joint for row in shells(party)] == [None, None]


def ask(house, rows, cloth=None):
    return services.request_joint_lay(
        workshop=house.workshop, cloth=cloth or house.satin, garments=rows, by=house.owner, now=NOW
    )


def test_request_joint_lay_refuses_one_garment_alone(house, party):
    with pytest.raises(CannotJoin, match=r"^Choose two garments or more"):
        ask(house, garments(party)[:1])


def test_request_joint_lay_refuses_what_is_not_laid_on_the_cloth(house, party):
    LayPlan.objects.filter(draft__garment=garments(party)[1]).update(superseded_at=NOW)

    with pytest.raises(CannotJoin, match=r"^Maid cannot be laid with others on Grey satin"):
        ask(house, garments(party))


def test_request_joint_lay_over_orders_asks_that_all_are_agreed(house, party):
    other = take(house)
    quote(house, other)

    with pytest.raises(CannotJoin, match=r"^The quote of order 1 is not accepted"):
        ask(house, [*garments(party), *garments(other)])
    accept(house, party)
    accept(house, other)

    assert ask(house, [*garments(party), *garments(other)]).kind == "joint_lay"


def test_request_joint_lay_refuses_another_workshop_s_garment(house, party):
    other = open_house("Other")

    with pytest.raises(Refusal, match=r"^There is no such garment in this workshop\.$"):
        ask(house, [garments(party)[0], *garments(take(other))])


def test_the_same_joint_lay_asked_for_twice_is_one_job(house, party):
    assert ask(house, garments(party)) == ask(house, list(reversed(garments(party))))


def test_joint_lay_keeps_the_way_that_the_owner_fixed_for_all(house, party):
    GarmentCloth.objects.filter(role="shell").update(way="folded")
    for garment in garments(party):
        services.make_lay_plans(draft=queries.current_draft(garment), now=NOW, seconds=0.3)

    join(house, party)

    part = shells(party)[0]
    assert queries.lay_value(part).cloth.folded
    assert part.inputs["way"] == "folded"


def test_lay_groups_show_what_may_be_laid_together(house, party):
    alone = take(house, wishes=[wish(house, cloths={"shell": (house.satin, "")})])
    measure(house, garments(alone)[0])

    [satin, fusible] = queries.lay_groups(house.workshop, order=party)

    assert (satin.cloth, [row.draft.garment for row in satin.lays]) == (house.satin, garments(party))
    assert fusible.cloth == house.interfacing
    assert queries.lay_groups(house.workshop, order=alone) == []


def test_erasing_a_wearer_leaves_no_outline_of_theirs_with_the_others(house):
    set_prices(house)
    house.workshop.refresh_from_db()
    other = add_wearer(house.client, "Ada Quist")
    party = take(house, wishes=[wish(house, title="Bride"), wish(house, title="Maid", wearer=other)])
    for garment in garments(party):
        lay(draft(house, garment))
    join(house, party)
    first, second = garments(party)
    Garment.objects.filter(pk=first.pk).update(stage="delivered")

    services.erase_drafts_of(house.wearer, NOW)

    assert JointLay.objects.count() == 0
    assert not first.drafts.exists()
    [shell, _] = queries.current_lays(queries.current_draft(second))
    assert all(not placed.piece.startswith(("A ", "B ")) for placed in queries.lay_value(shell).placed)
    assert LayPlan.objects.filter(output={}).count() == 0
