"""What planning answers; nothing here writes."""

from __future__ import annotations

from workshop.planning.queries.after import After, after_of
from workshop.planning.queries.blocked import Blocked, blocked
from workshop.planning.queries.booked import WeekHours, hours_booked
from workshop.planning.queries.calendar_files import fitting_file, site_host
from workshop.planning.queries.earnings import StyleEarnings, profit_by_style
from workshop.planning.queries.feeds import feed_address, feed_of, open_feeds, work_feed
from workshop.planning.queries.first_days import first_days
from workshop.planning.queries.hours import Hours, able, hours_of
from workshop.planning.queries.learnt import (
    Minutes,
    PaceBook,
    minutes_of,
    pace_book,
    timed_tasks,
)
from workshop.planning.queries.machine_use import MachineUse, machine_use
from workshop.planning.queries.month import Month, month_of
from workshop.planning.queries.moves import last_moves
from workshop.planning.queries.outside import tentative_garments
from workshop.planning.queries.photographs import photo_for, photos_of
from workshop.planning.queries.slots import (
    EVERY_TIME,
    FittingSlot,
    fitting_of,
    fittings_of,
    free_fitting_slots,
    is_there,
    may_change_alone,
    next_free_slot,
    notice_words,
    ready_to_try,
)
from workshop.planning.queries.waiting import fittings_ahead, fittings_to_hold
from workshop.planning.queries.week import (
    GarmentDue,
    days_in_hand,
    due_by,
    next_tasks,
    open_garments,
    own_cuts,
    planned_week,
    running_task,
    today_tasks,
)

__all__ = [
    "EVERY_TIME",
    "After",
    "Blocked",
    "FittingSlot",
    "GarmentDue",
    "Hours",
    "MachineUse",
    "Minutes",
    "Month",
    "PaceBook",
    "StyleEarnings",
    "WeekHours",
    "able",
    "after_of",
    "blocked",
    "days_in_hand",
    "due_by",
    "feed_address",
    "feed_of",
    "first_days",
    "fitting_file",
    "fitting_of",
    "fittings_ahead",
    "fittings_of",
    "fittings_to_hold",
    "free_fitting_slots",
    "hours_booked",
    "hours_of",
    "is_there",
    "last_moves",
    "machine_use",
    "may_change_alone",
    "minutes_of",
    "month_of",
    "next_free_slot",
    "next_tasks",
    "notice_words",
    "open_feeds",
    "open_garments",
    "own_cuts",
    "pace_book",
    "photo_for",
    "photos_of",
    "planned_week",
    "profit_by_style",
    "ready_to_try",
    "running_task",
    "site_host",
    "tentative_garments",
    "timed_tasks",
    "today_tasks",
    "work_feed",
]
