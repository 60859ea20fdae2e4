from __future__ import annotations

from django.apps import AppConfig


class PlanningConfig(AppConfig):
    name = "workshop.planning"
    label = "planning"
