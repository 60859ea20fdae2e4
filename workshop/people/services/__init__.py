"""Changes of workshops, staff, clients, wearers, measurements and house rules."""

from __future__ import annotations

from workshop.people.services.calendar import close_days, reopen_days, set_opening_hours
from workshop.people.services.clients import choose_reminders, create_client, edit_client
from workshop.people.services.erasing import also_erases, erase_expired_wearers, erase_wearer
from workshop.people.services.fit import note_fit
from workshop.people.services.holidays import choose_public_holidays
from workshop.people.services.house import change_house_rules
from workshop.people.services.log import write_log
from workshop.people.services.measuring import (
    MeasurementsRefused,
    UnansweredQuestions,
    record_measurements,
)
from workshop.people.services.photo_consent import end_photo_consent, note_photo_consent
from workshop.people.services.staffing import add_staff, edit_staff
from workshop.people.services.submissions import do_once, forget_submissions
from workshop.people.services.tax_rates import add_tax_rate, archive_tax_rate
from workshop.people.services.wearers import create_wearer, edit_wearer
from workshop.people.services.workshops import create_workshop, edit_workshop

__all__ = [
    "MeasurementsRefused",
    "UnansweredQuestions",
    "add_staff",
    "add_tax_rate",
    "also_erases",
    "archive_tax_rate",
    "change_house_rules",
    "choose_public_holidays",
    "choose_reminders",
    "close_days",
    "create_client",
    "create_wearer",
    "create_workshop",
    "do_once",
    "edit_client",
    "edit_staff",
    "edit_wearer",
    "edit_workshop",
    "end_photo_consent",
    "erase_expired_wearers",
    "erase_wearer",
    "forget_submissions",
    "note_fit",
    "note_photo_consent",
    "record_measurements",
    "reopen_days",
    "set_opening_hours",
    "write_log",
]
