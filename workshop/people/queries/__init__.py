"""Reading people: every query starts from one workshop."""

from __future__ import annotations

from workshop.people.queries.bodies import body_of, questions_of
from workshop.people.queries.holidays import OfferedHoliday, offered_holidays
from workshop.people.queries.house import current_house_rules, house_values, house_version
from workshop.people.queries.lists import (
    client_of,
    clients,
    latest_measurements,
    log_of,
    measurement_set_of,
    measurement_sets,
    opening_hours,
    staff,
    wearer_of,
    wearers,
    wearers_to_erase,
    workshops_that_erase,
    workshops_with_old_submissions,
)

__all__ = [
    "OfferedHoliday",
    "body_of",
    "client_of",
    "clients",
    "current_house_rules",
    "house_values",
    "house_version",
    "latest_measurements",
    "log_of",
    "measurement_set_of",
    "measurement_sets",
    "offered_holidays",
    "opening_hours",
    "questions_of",
    "staff",
    "wearer_of",
    "wearers",
    "wearers_to_erase",
    "workshops_that_erase",
    "workshops_with_old_submissions",
]
