"""What planning does to stored data."""

from __future__ import annotations

from workshop.planning.services.erasing import erase_findings_of
from workshop.planning.services.feeds import open_feed, withdraw_feed
from workshop.planning.services.fittings import book_fitting, cancel_fitting, move_fitting
from workshop.planning.services.floor import Floors
from workshop.planning.services.garment_tasks import sync_tasks
from workshop.planning.services.holding import Alteration, BadFinding, hold_fitting
from workshop.planning.services.machines import add_machine, drop_machine, edit_machine
from workshop.planning.services.photographs import add_photo, delete_photo, withdraw_photo_consent
from workshop.planning.services.pinning import pin_task, unpin_task
from workshop.planning.services.promising import OrderPromise, promise_order
from workshop.planning.services.promising_if import PromiseIf, promise_if
from workshop.planning.services.replanning import Replanned, replan
from workshop.planning.services.risking import reckon_late_risks
from workshop.planning.services.timing import finish_task, start_task, stop_task

__all__ = [
    "Alteration",
    "BadFinding",
    "Floors",
    "OrderPromise",
    "PromiseIf",
    "Replanned",
    "add_machine",
    "add_photo",
    "book_fitting",
    "cancel_fitting",
    "delete_photo",
    "drop_machine",
    "edit_machine",
    "erase_findings_of",
    "finish_task",
    "hold_fitting",
    "move_fitting",
    "open_feed",
    "pin_task",
    "promise_if",
    "promise_order",
    "reckon_late_risks",
    "replan",
    "start_task",
    "stop_task",
    "sync_tasks",
    "unpin_task",
    "withdraw_feed",
    "withdraw_photo_consent",
]
