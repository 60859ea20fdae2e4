from __future__ import annotations

import pytest

from drafting.errors import BadChoice
from drafting.house import HOUSE_RULES
from tests.workshop.people.conftest import NOW
from workshop.errors import EditedMeanwhile, Refusal
from workshop.people import queries, services
from workshop.people.models import HouseRules


def change(room, values, expected_version=0, **changes):
    return services.change_house_rules(
        **{
            "workshop": room.workshop,
            "values": values,
            "expected_version": expected_version,
            "by": room.owner,
            "now": NOW,
            **changes,
        }
    )


def test_change_house_rules_keeps_what_differs_from_the_default(room):
    default = HOUSE_RULES["hem_depth"].default

    rules = change(room, {"hem_depth": 60.0, "seam_allowance": HOUSE_RULES["seam_allowance"].default})

    assert (rules.version, rules.values, default) == (1, {"hem_depth": 60.0}, 50.8)
    assert queries.house_values(room.workshop)["hem_depth"] == 60.0


def test_change_house_rules_makes_a_new_version_and_keeps_the_old(room):
    change(room, {"hem_depth": 60.0})
    change(room, {}, expected_version=1)

    assert list(HouseRules.objects.order_by("version").values_list("version", "values")) == [
        (1, {"hem_depth": 60.0}),
        (2, {}),
    ]
    assert queries.house_values(room.workshop)["hem_depth"] == 50.8


def test_change_house_rules_tells_the_second_of_two_owners(room):
    change(room, {"hem_depth": 60.0})

    with pytest.raises(EditedMeanwhile):
        change(room, {"hem_depth": 70.0}, expected_version=0)

    assert queries.house_version(room.workshop) == 1


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"hem_depth": 1e9}, "hem_depth"),
        ({"hem_depth": float("nan")}, "hem_depth"),
        ({"hem_depth": -1.0}, "hem_depth"),
        ({"hat_height": 10.0}, "hat_height"),
    ],
)
def test_change_house_rules_names_the_rule_at_fault(room, values, field):
    with pytest.raises(BadChoice) as refused:
        change(room, values)

    assert refused.value.field == field
    assert not HouseRules.objects.exists()


def test_change_house_rules_is_the_owners(room):
    with pytest.raises(Refusal, match="Only the owner"):
        change(room, {}, by=room.apprentice)


def test_house_values_are_those_of_one_workshop(room, next_door):
    change(next_door, {"hem_depth": 60.0})

    assert queries.house_version(room.workshop) == 0
    assert queries.house_values(room.workshop)["hem_depth"] == 50.8
