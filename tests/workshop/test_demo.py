"""The demo workshop's garments: of several styles, each of which can be drafted for its wearer."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.units import Unit, parse_length
from workshop.management.demo_house import CLOTHS, MACHINES, NOTIONS, OWN_TIMES, STAFF
from workshop.management.demo_story import STORY, DemoGarment
from workshop.people.rules.working_week import check_week
from workshop.planning.rules.alterations import check_change, lesson

GARMENTS = [garment for order in STORY for garment in order.garments]


@pytest.mark.parametrize("garment", GARMENTS, ids=lambda garment: garment.title)
def test_every_demo_garment_passes_its_checks(garment: DemoGarment) -> None:
    wearer = garment.wearer
    measures = {name: parse_length(text, Unit.CM) for name, text in wearer.measures.items()}
    body = Body.of(measures, age_years=wearer.age, fit=wearer.fit)

    draft = make_draft(garment.style, body, garment.choices)

    assert [check.name for check in draft.checks if not check.ok] == []
    assert {need.kind for need in draft.notions} <= {kind for kind, *_ in NOTIONS}
    assert ("lining" in {cut.cloth for piece in draft.pieces for cut in piece.cuts}) == bool(garment.lining)
    assert {garment.cloth, garment.lining} - {""} <= {name for _, name, *_ in CLOTHS}


def test_demo_shows_several_styles() -> None:
    assert len({garment.style for garment in GARMENTS}) >= 5


def test_demo_has_fewer_of_each_machine_than_people_who_need_one() -> None:
    skills = [row[3].split() for row in STAFF]

    for name, count, groups in MACHINES:
        users = sum(bool({*groups} & {*known}) for known in skills)
        assert 1 <= count < users, name


def test_demo_shows_a_fitting_with_findings_that_can_be_and_times_of_ones_own() -> None:
    found = [change for garment in GARMENTS for change in garment.found]
    for change in found:
        check_change(change, show=str)
    for week in OWN_TIMES.values():
        check_week(week)

    assert len({change.place for change in found}) >= 3
    assert any(lesson(change) for change in found)
    assert OWN_TIMES.keys() <= {username for username, *_ in STAFF}
