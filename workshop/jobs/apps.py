from __future__ import annotations

from django.apps import AppConfig
from django.utils.module_loading import autodiscover_modules


class JobsConfig(AppConfig):
    name = "workshop.jobs"
    label = "jobs"

    def ready(self) -> None:
        """Import every room's ``tasks`` module, so that its handlers register themselves."""
        autodiscover_modules("tasks")
