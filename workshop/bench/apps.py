from __future__ import annotations

from django.apps import AppConfig


class BenchConfig(AppConfig):
    name = "workshop.bench"
    label = "bench"
