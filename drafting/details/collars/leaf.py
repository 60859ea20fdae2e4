"""Half a collar: its four lines, and the pieces that are cut from it.

Frame: the centre back at x = 0, the neck edge running outward from it, the collar on the right-hand side of
that way.
"""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Path, Point
from drafting.pattern import Cut, EdgeKind


@dataclass(frozen=True, slots=True)
class Leaf:
    """``neck`` and ``edge`` run from the centre back to the front, ``back`` and ``end`` from neck to edge."""

    neck: Path
    edge: Path
    back: Path
    end: Path


@dataclass(frozen=True, slots=True)
class Ends:
    """Whether the collar lies on a fold of the cloth at the centre back and at the centre front."""

    back_fold: bool
    front_fold: bool

    def cut(self, cloth: str) -> Cut:
        """One on the fold, or a left and a right."""
        if self.back_fold or self.front_fold:
            return Cut(cloth, 1, on_fold=True)
        return Cut(cloth, 2, mirrored=True)

    def stroke(self, name: str, path: Path, allowance: float) -> Stroke:
        """The collar's line at the centre back ("... back") or at the front ("... end")."""
        fold = self.back_fold if name.endswith("back") else self.front_fold
        return Stroke(name, path, EdgeKind.FOLD) if fold else Stroke(name, path, EdgeKind.SEAM, allowance)


def leaf_sketch(
    name: str,
    leaf: Leaf,
    ends: Ends,
    *,
    allowance: float,
    interfaced: bool,
    grain: tuple[Point, Point] | None = None,
    word: str = "collar",
) -> Sketch:
    """A piece of this shape: edges "collar neck", "collar edge", "collar back", "collar end".

    Args:
        name: of the piece.
        leaf: half the collar.
        ends: where it lies on a fold.
        allowance: of its edges, mm; they are enclosed.
        interfaced: it is cut of interfacing too.
        grain: the grain line; left out, it runs along the centre back.
        word: the first word of its edges' names.
    """
    cuts = (ends.cut("shell"), ends.cut("interfacing")) if interfaced else (ends.cut("shell"),)
    return Sketch(
        name,
        [
            Stroke(f"{word} neck", leaf.neck, EdgeKind.SEAM, allowance),
            ends.stroke(f"{word} end", leaf.end, allowance),
            Stroke(f"{word} edge", leaf.edge, EdgeKind.SEAM, allowance),
            ends.stroke(f"{word} back", leaf.back, allowance),
        ],
        cuts,
        grain or beside_back(leaf),
    )


def along_neck(leaf: Leaf) -> tuple[Point, Point]:
    """A grain line that runs lengthwise, half-way up the centre back: a stand does not stretch so."""
    up = (leaf.back.end - leaf.back.start) * 0.5
    start = leaf.neck.point_at(0.1 * leaf.neck.length) + up
    return start, start + leaf.neck.start_tangent * (0.4 * leaf.neck.length)


def beside_back(leaf: Leaf) -> tuple[Point, Point]:
    """A grain line beside the centre back, along it."""
    inward = leaf.neck.start_tangent * min(0.12 * leaf.neck.length, 20.0)
    return leaf.back.point_at(0.1 * leaf.back.length) + inward, leaf.back.point_at(
        0.9 * leaf.back.length
    ) + inward
