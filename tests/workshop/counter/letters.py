"""Addresses of a customer's letter."""

from __future__ import annotations

from django.urls import reverse

from workshop.orders.models import PrivateLink

GUESSED = "A" * 43
"""A secret as long as a real one, which no link has."""


def letter(link: PrivateLink, name: str = "order", *args: object) -> str:
    return reverse(f"counter:{name}", args=[link.secret, *args])
