from __future__ import annotations

from django.apps import AppConfig


class CounterConfig(AppConfig):
    name = "workshop.counter"
    label = "counter"
