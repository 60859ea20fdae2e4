"""The cloths of a quoted garment, in the customer's words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

WORDS: Mapping[str, str] = {"shell": "Cloth", "lining": "Lining cloth", "interfacing": "Inner stiffening"}
"""What a customer calls the cloth of each role."""


def cloth_words(garment: Mapping[str, Any]) -> list[tuple[str, str]]:
    """``shell: Satin`` of a quote's stored garment -> ``("Cloth", "Satin")``."""
    parts = (words.partition(": ") for words in garment.get("cloths", ()))
    return [(WORDS.get(role, role.capitalize()), cloth) for role, _, cloth in parts]
