from __future__ import annotations

from tests.workshop.surfaces import clock, files, house, next_door, plain_hashes

__all__ = ["clock", "files", "house", "next_door", "plain_hashes"]
