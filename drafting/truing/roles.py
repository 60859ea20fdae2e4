"""Which check a seam belongs to: each seam is measured by exactly one of them.

Roles are read from the vocabulary: the method of the seam, and the plain words in the names of its edges.
"""

from __future__ import annotations

from enum import Enum, auto

from drafting.pattern import Draft, EdgeRef, Method, Seam


class Role(Enum):
    """The check that measures a seam's lengths."""

    PLAIN = auto()
    COLLAR = auto()
    SLEEVE = auto()
    FACING = auto()
    DART = auto()


_JOINED = (Method.FACED, Method.LINED, Method.ENCLOSED)


def role(draft: Draft, seam: Seam) -> Role:
    """Return the role of a seam.

    A sleeve seam joins a cap to an armhole; a collar seam joins a collar's neck edge to a neckline.
    """
    if seam.method is Method.DART:
        return Role.DART
    if _sides_say(seam, "cap", "armhole"):
        return Role.SLEEVE
    if seam.method in _JOINED:
        return Role.FACING
    if _is_collar_seam(draft, seam):
        return Role.COLLAR
    return Role.PLAIN


def of_role(draft: Draft, wanted: Role) -> list[Seam]:
    """Return the seams of a role, in the draft's order."""
    return [seam for seam in draft.seams if role(draft, seam) is wanted]


def _sides_say(seam: Seam, one: str, other: str) -> bool:
    return any(
        _edges_say(first, one) and _edges_say(second, other)
        for first, second in ((seam.a, seam.b), (seam.b, seam.a))
    )


def _edges_say(refs: tuple[EdgeRef, ...], word: str) -> bool:
    return any(word in ref.edge.split() for ref in refs)


def _is_collar_seam(draft: Draft, seam: Seam) -> bool:
    """The neck edge of a collar, or of a piece whose collar is grown on, sewn to another piece's neckline."""
    grown_on = {line.piece for line in draft.roll_lines}

    def collar_neck(refs: tuple[EdgeRef, ...]) -> bool:
        return any(
            "neck" in ref.edge and ("collar" in ref.edge or "collar" in ref.piece) for ref in refs
        ) or any("neck" in ref.edge and ref.piece in grown_on for ref in refs)

    def neckline(refs: tuple[EdgeRef, ...]) -> bool:
        return any("neck" in ref.edge and ref.piece not in grown_on for ref in refs)

    return (collar_neck(seam.a) and neckline(seam.b)) or (collar_neck(seam.b) and neckline(seam.a))
