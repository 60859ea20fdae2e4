"""Bias strips: into how many parts a long one is cut, and how these are joined."""

from __future__ import annotations

from math import ceil

_EXACT = 1e-6  # mm


def strip_parts(length: float, longest: float) -> int:
    """Into how many equal parts a strip is cut of which none is longer than ``longest``, mm."""
    return max(ceil((length - _EXACT) / longest), 1)


def part_names(name: str, count: int) -> list[str]:
    """What the parts of a strip are called: as the strip where it is cut in one, else numbered from 1."""
    return [name] if count == 1 else [f"{name} {k}" for k in range(1, count + 1)]


def joining_note(name: str, length: float, parts: int) -> str:
    """How the parts are joined, with the length that they must have together, mm."""
    return (
        f"Join the {parts} parts of the {name} end to end, right sides together, to {length / 10:.1f} cm "
        "between the outer seam lines; press the seams open and trim the corners that stand out."
    )
