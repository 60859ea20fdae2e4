"""What planning answers; nothing here writes."""

from __future__ import annotations

from workshop.planning.queries.calendar_files import fitting_feed, fitting_file
from workshop.planning.queries.hours import Hours, able, hours_of
from workshop.planning.queries.slots import FittingSlot, free_fitting_slots, is_there, ready_to_try
from workshop.planning.queries.week import (
    GarmentDue,
    Today,
    WeekLoad,
    days_in_hand,
    due_by,
    open_garments,
    planned_week,
    today_of,
    week_loads,
)

__all__ = [
    "FittingSlot",
    "GarmentDue",
    "Hours",
    "Today",
    "WeekLoad",
    "able",
    "days_in_hand",
    "due_by",
    "fitting_feed",
    "fitting_file",
    "free_fitting_slots",
    "hours_of",
    "is_there",
    "open_garments",
    "planned_week",
    "ready_to_try",
    "today_of",
    "week_loads",
]
