from __future__ import annotations

from django.apps import AppConfig


class DeskConfig(AppConfig):
    name = "workshop.desk"
    label = "desk"
