"""The pattern engine: from a body and a style's choices to a draft that can be cut and sewn.

Pure: no database, clock, file or unseeded randomness. The same inputs give the same draft, byte for byte.
"""

from __future__ import annotations

ENGINE = "1"
