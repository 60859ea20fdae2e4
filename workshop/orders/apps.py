from __future__ import annotations

from django.apps import AppConfig


class OrdersConfig(AppConfig):
    name = "workshop.orders"
    label = "orders"
