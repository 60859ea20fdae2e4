from __future__ import annotations

from django.apps import AppConfig


class CostingConfig(AppConfig):
    name = "costing"
    label = "costing"
