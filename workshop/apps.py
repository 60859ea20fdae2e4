from __future__ import annotations

from django.apps import AppConfig


class WorkshopConfig(AppConfig):
    """The project itself: its management commands and static files."""

    name = "workshop"
    label = "workshop"
