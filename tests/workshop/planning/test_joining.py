from __future__ import annotations

from costing.rules.labour import Group, Operation
from workshop.planning.rules.joining import join


def steps(*listed):
    return [Operation(name=name, group=group, minutes=minutes) for name, group, minutes in listed]


OPERATIONS = steps(
    ("cut the shell", Group.CUT, 30.2),
    ("fuse", Group.PREPARE, 10),
    ("sew the shoulder", Group.SEW, 5.5),
    ("press the shoulder", Group.PRESS, 2.25),
    ("sew the side", Group.SEW, 5),
    ("baste", Group.FIT, 8),
    ("try on", Group.FIT, 45),
    ("sew the hem", Group.SEW, 20),
    ("sew on buttons", Group.FINISH, 9),
    ("press it all", Group.PRESS, 12),
    ("look it over", Group.FINISH, 3),
)


def test_join_makes_one_task_a_kind_on_each_side_of_the_fitting():
    assert [(task.position, task.title, task.minutes, task.after_fitting) for task in join(OPERATIONS)] == [
        (1, "Cut", 31, False),
        (2, "Prepare", 10, False),
        (3, "Sew before the fitting", 21, False),
        (13, "Sew after the fitting", 20, True),
        (14, "Finish after the fitting", 24, True),
    ]


def test_join_keeps_the_order_of_the_operations_and_all_but_the_trying_on():
    names = [step.name for task in join(OPERATIONS) for step in task.operations]

    assert names == [step.name for step in OPERATIONS if step.name != "try on"]


def test_join_keeps_the_last_pressing_apart_where_nothing_follows():
    joined = join(steps(("sew", Group.SEW, 1), ("press", Group.PRESS, 2)))

    assert [(task.group, task.title, task.minutes) for task in joined] == [
        (Group.SEW, "Sew", 1),
        (Group.PRESS, "Press", 2),
    ]


def test_join_puts_every_basting_before_and_leaves_every_trying_on_out():
    listed = steps(
        ("sew", Group.SEW, 1),
        ("baste 1", Group.FIT, 2),
        ("try on 1", Group.FIT, 4),
        ("baste 2", Group.FIT, 8),
        ("try on 2", Group.FIT, 16),
        ("finish", Group.FINISH, 32),
    )

    assert [(task.position, task.minutes) for task in join(listed)] == [(3, 11), (14, 32)]


def test_join_of_nothing_is_nothing():
    assert join([]) == ()


def test_join_sews_and_presses_up_to_the_basting_in_one_go():
    listed = steps(
        ("sew", Group.SEW, 1), ("press", Group.PRESS, 2), ("baste", Group.FIT, 4), ("try on", Group.FIT, 8)
    )

    (task,) = join(listed)

    assert (task.title, [step.name for step in task.operations]) == (
        "Sew before the fitting",
        ["sew", "press", "baste"],
    )
