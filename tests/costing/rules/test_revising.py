"""The owner's revision of an operation list."""

from __future__ import annotations

import json
from random import Random

import pytest

from costing.errors import BadAmount
from costing.rules.labour import Group, Operation, total_minutes
from costing.rules.operation_list import operations
from costing.rules.revising import Added, Revised, Revision, difference, revised
from costing.rules.worktimes import CUT, FINISH, FIT, JOIN, PREPARE
from tests.costing.drafts import slip


def step(name: str, group: Group, phase: int, minutes: float = 10.0) -> Operation:
    return Operation(name, group, minutes, phase=phase, kind=name)


LISTED = (
    step("cut", Group.CUT, CUT, 30),
    step("fuse", Group.PREPARE, PREPARE),
    step("shoulder", Group.SEW, JOIN),
    step("side", Group.SEW, JOIN),
    step("collar", Group.SEW, JOIN),
    step("baste", Group.FIT, FIT, 20),
    step("try on", Group.FIT, FIT, 40),
    step("trim", Group.FINISH, FINISH),
)


def names(made: Revised) -> list[str]:
    return [operation.name for operation in made.operations]


def test_no_revision_leaves_the_list_but_for_its_numbers():
    made = revised(LISTED, Revision())

    assert names(made) == [operation.name for operation in LISTED]
    assert [operation.order for operation in made.operations] == list(range(1, 9))
    assert difference(LISTED, made.operations) == ""


def test_revised_takes_the_owners_minutes_and_says_what_was_reckoned():
    made = revised(LISTED, Revision(minutes={"side": 25.0}))

    side = made.operations[3]
    assert (side.minutes, side.why) == (25.0, "set by the workshop; reckoned: 10.0 min")
    assert total_minutes(made.operations) == total_minutes(LISTED) + 15


def test_revised_takes_off_and_adds_in_its_phase():
    ribbon = Added("Sew on the ribbon", Group.FINISH, 12.0, JOIN)

    made = revised(LISTED, Revision(removed=frozenset({"collar"}), added=(ribbon,)))

    assert names(made)[2:5] == ["shoulder", "side", "Sew on the ribbon"]
    added = made.operations[4]
    assert (added.group, added.minutes, added.why) == (Group.FINISH, 12.0, "added by the workshop")


def test_revised_keeps_to_the_owners_order_inside_a_phase_only():
    made = revised(LISTED, Revision(order={JOIN: ("collar", "shoulder")}))

    assert names(made) == ["cut", "fuse", "collar", "shoulder", "side", "baste", "try on", "trim"]


def test_revised_tells_what_a_new_draft_does_not_have():
    revision = Revision({"bow": 5.0, "side": 8.0}, frozenset({"cape"}), (), {JOIN: ("sash", "side")})

    made = revised(LISTED, revision)

    assert made.missed == ("bow", "cape", "sash")
    assert names(made)[2] == "side"


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: Revision(minutes={"side": -1}), "minutes"),
        (lambda: Revision(minutes={"side": float("nan")}), "minutes"),
        (lambda: Revision(minutes={"side": 6001}), "minutes"),
        (lambda: Added(" ", Group.SEW, 5, JOIN), "added_name"),
        (lambda: Added("x" * 121, Group.SEW, 5, JOIN), "added_name"),
        (lambda: Added("Try on twice", Group.FIT, 5, JOIN), "added_group"),
        (lambda: Added("Sew", Group.SEW, 5, 99), "added_phase"),
        (lambda: Added("Sew", Group.SEW, float("inf"), JOIN), "added_minutes"),
        (lambda: Revision(added=(Added("a", Group.SEW, 1, JOIN),) * 41), "added_name"),
        (lambda: revised(LISTED, Revision(added=(Added("side", Group.SEW, 1, JOIN),))), "added_name"),
        (lambda: revised(LISTED, Revision(removed=frozenset({"baste"}))), "removed"),
        (lambda: revised(LISTED, Revision(removed=frozenset({"try on"}))), "removed"),
    ],
)
def test_revision_refuses_what_makes_no_list(make, field):
    with pytest.raises(BadAmount) as caught:
        make()

    assert caught.value.field == field


def test_basting_and_trying_on_go_together():
    made = revised(LISTED, Revision(removed=frozenset({"baste", "try on"})))

    assert names(made) == ["cut", "fuse", "shoulder", "side", "collar", "trim"]


def test_difference_says_each_thing_once():
    after = revised(
        LISTED,
        Revision(
            {"side": 25.0},
            frozenset({"fuse"}),
            (Added("Bow", Group.SEW, 5.0, JOIN),),
            {JOIN: ("collar", "shoulder")},
        ),
    ).operations

    assert difference(LISTED, after) == (
        "added 'Bow', 5.0 min; took off 'fuse', 10.0 min; side: 10.0 to 25.0 min; another order in Join; "
        "in all 140 to 150 min"
    )


def test_any_revision_of_a_real_list_is_read_back_and_keeps_its_phases():
    listed = operations(slip())
    for number in range(50):
        chance = Random(f"revision-{number}")
        revision = drawn(chance, listed)

        made = revised(listed, revision)

        assert Revision.read(json.loads(json.dumps(revision.to_json()))) == revision
        assert [one.phase for one in made.operations] == sorted(one.phase for one in made.operations)
        kept = {one.name for one in listed} - revision.removed | {one.name for one in revision.added}
        assert sorted(names(made)) == sorted(kept)
        assert total_minutes(made.operations) == pytest.approx(
            sum(revision.minutes.get(one.name, one.minutes) for one in listed if one.name in kept)
            + sum(one.minutes for one in revision.added)
        )


def drawn(chance: Random, listed: tuple[Operation, ...]) -> Revision:
    free = [operation for operation in listed if operation.group is not Group.FIT]
    some = chance.sample(free, 6)
    joined = [operation.name for operation in listed if operation.phase == JOIN]
    return Revision(
        {operation.name: chance.uniform(0, 90) for operation in some[:3]},
        frozenset(operation.name for operation in some[3:]),
        (Added("Something more", Group.SEW, chance.uniform(0, 60), JOIN),),
        {JOIN: tuple(chance.sample(joined, len(joined)))},
    )
