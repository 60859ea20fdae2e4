from __future__ import annotations

from datetime import date

import pytest

from tests.workshop.people.conftest import NOW, TODAY
from workshop.errors import Refusal
from workshop.people import queries, services
from workshop.people.models import LogEntry
from workshop.people.rules.holidays import countries, public_holidays, regions

EASTER_MONDAY, LABOUR_DAY = date(2026, 4, 6), date(2026, 5, 1)


@pytest.fixture
def bavaria(room):
    return services.edit_workshop(
        workshop=room.workshop, expected_version=1, by=room.owner, now=NOW, country="DE", region="BY"
    )


def choose(room, workshop, *days, **changes):
    return services.choose_public_holidays(
        **{"workshop": workshop, "year": 2026, "closed_on": days, "by": room.owner, "now": NOW, **changes}
    )


def closed(workshop):
    rows = workshop.closures.order_by("from_on", "pk")
    return [(row.from_on, row.to_on, row.reason, row.public_holiday) for row in rows]


def test_public_holidays_of_a_region_are_more_than_those_of_its_country():
    """Assumption Day (15 August) is a public holiday in parts of Bavaria only; Epiphany in all of it.

    Common knowledge, no source; the dates of Easter are checked in ``tests/checks``.
    """
    whole, bavaria = ({row.on for row in public_holidays("DE", region, 2026)} for region in ("", "BY"))

    assert whole < bavaria
    assert date(2026, 1, 6) in bavaria - whole
    assert [row.name for row in public_holidays("DE", "", 2026)][:2] == ["New Year's Day", "Good Friday"]


def test_public_holidays_of_nowhere_are_none():
    assert public_holidays("", "", 2026) == public_holidays("XX", "", 2026) == ()
    assert public_holidays("DE", "ZZ", 2026) == ()
    assert regions("XX") == {}


def test_every_country_can_be_listed():
    assert {code: public_holidays(code, "", 2026) for code in countries()}.keys() == countries().keys()
    assert (countries()["PT"], regions("PT")["11"]) == ("Portugal", "Lisboa")


def test_edit_workshop_takes_a_region_of_its_country_only(room):
    for country, region, field in (("DE", "11", "region"), ("XX", "", "country"), ("", "BY", "region")):
        with pytest.raises(Refusal) as refused:
            services.edit_workshop(
                workshop=room.workshop, expected_version=1, by=None, now=NOW, country=country, region=region
            )
        assert refused.value.field == field


def test_nothing_closes_because_a_country_is_chosen(bavaria):
    assert closed(bavaria) == []
    assert {row.closed for row in queries.offered_holidays(bavaria, 2026, TODAY)} == {False}


def test_choose_public_holidays_closes_the_ticked_days_and_opens_the_others(room, bavaria):
    assert choose(room, bavaria, EASTER_MONDAY, LABOUR_DAY) == 2
    assert choose(room, bavaria, LABOUR_DAY) == 1

    assert closed(bavaria) == [(LABOUR_DAY, LABOUR_DAY, "Labor Day", True)]
    entry = LogEntry.objects.latest("pk")
    assert (entry.before, entry.after) == ({"open_again": ["2026-04-06"]}, {"closed": []})


def test_choose_public_holidays_twice_changes_nothing_the_second_time(room, bavaria):
    choose(room, bavaria, LABOUR_DAY)
    entries = LogEntry.objects.count()

    assert choose(room, bavaria, LABOUR_DAY) == 0
    assert len(closed(bavaria)) == 1
    assert LogEntry.objects.count() == entries


def test_choose_public_holidays_leaves_days_that_were_closed_by_hand(room, bavaria):
    services.close_days(
        workshop=bavaria, from_on=date(2026, 4, 3), to_on=date(2026, 4, 10), by=room.owner, now=NOW
    )
    by_hand = closed(bavaria)

    assert choose(room, bavaria, EASTER_MONDAY) == 0
    assert choose(room, bavaria) == 0
    assert closed(bavaria) == by_hand
    offered = {row.on: row for row in queries.offered_holidays(bavaria, 2026, TODAY)}
    assert (offered[EASTER_MONDAY].closed, offered[EASTER_MONDAY].by_hand) == (True, True)
    assert (offered[LABOUR_DAY].closed, offered[LABOUR_DAY].by_hand) == (False, False)


def test_choose_public_holidays_is_not_misled_by_somebodys_absence(room, bavaria):
    services.close_days(
        workshop=bavaria, staff=room.owner, from_on=LABOUR_DAY, to_on=LABOUR_DAY, by=room.owner, now=NOW
    )

    assert choose(room, bavaria, LABOUR_DAY) == 1


def test_choose_public_holidays_leaves_the_past_as_it_was(room, bavaria):
    new_year = date(2026, 1, 1)
    bavaria.closures.create(from_on=new_year, to_on=new_year, public_holiday=True)

    assert choose(room, bavaria) == 0
    assert [row[0] for row in closed(bavaria)] == [new_year]
    assert [row.on for row in queries.offered_holidays(bavaria, 2026, TODAY) if row.past] == [
        new_year,
        date(2026, 1, 6),
    ]


def test_choose_public_holidays_refuses_other_days_people_and_places(room, bavaria, next_door):
    with pytest.raises(Refusal, match="2026-04-07 is not a public holiday of that list"):
        choose(room, bavaria, date(2026, 4, 7))
    with pytest.raises(Refusal, match="Only the owner can close the workshop"):
        choose(room, bavaria, LABOUR_DAY, by=room.apprentice)
    with pytest.raises(Refusal, match="no such staff"):
        choose(room, bavaria, LABOUR_DAY, by=next_door.owner)
    with pytest.raises(Refusal, match="Choose the workshop's country first"):
        choose(next_door, next_door.workshop, LABOUR_DAY)
    assert closed(bavaria) == closed(next_door.workshop) == []
