"""The cutting list: what to cut of which cloth, how often, and how the piece lies."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.pattern import Cut, Draft, Piece

CLOTHS = ("shell", "lining", "interfacing")
"""In the order in which they are cut; a cloth of another name comes after them."""


@dataclass(frozen=True, slots=True)
class CuttingLine:
    """One piece of one cloth. ``how`` is ``single``, ``on fold``, ``pair``, ``pairs`` or ``alike``.

    ``count`` counts cut parts: a pair is 2. A part cut on the fold is one part. ``alike`` parts all lie the
    same side up.
    """

    cloth: str
    piece: str
    count: int
    how: str

    @property
    def words(self) -> str:
        """The line as it is said to the one who cuts: ``cut 2, a pair``."""
        if self.how == "single":
            return f"cut {self.count}"
        if self.how == "on fold":
            return f"cut {self.count} on the fold"
        if self.how == "pair":
            return "cut 2, a pair"
        if self.how == "pairs":
            return f"cut {self.count}, {self.count // 2} pairs"
        return f"cut {self.count}, all the same side up"


def cutting_list(draft: Draft) -> tuple[CuttingLine, ...]:
    """Return the lines of a draft, cloth by cloth, each cloth's pieces in the draft's order."""
    lines = [line for piece in draft.pieces for line in piece_cutting(piece)]
    return tuple(sorted(lines, key=lambda line: _cloth_order(line.cloth)))


def piece_cutting(piece: Piece) -> tuple[CuttingLine, ...]:
    """Return the lines of one piece, in its own order of cuts; a cut of none is left out."""
    return tuple(
        CuttingLine(cut.cloth, piece.name, cut.count, how_to_cut(cut)) for cut in piece.cuts if cut.count > 0
    )


def how_to_cut(cut: Cut) -> str:
    """Return how the parts of a cut lie: see ``CuttingLine``."""
    if cut.on_fold:
        return "on fold"
    if cut.mirrored and cut.count > 1:
        return "pair" if cut.count == 2 else "pairs"
    return "single" if cut.count == 1 else "alike"


def _cloth_order(cloth: str) -> tuple[int, str]:
    return (CLOTHS.index(cloth), "") if cloth in CLOTHS else (len(CLOTHS), cloth)
