"""What collars that are set on share: the neckline they sit on, their layers, and how these are joined."""

from __future__ import annotations

from drafting.details.collars.leaf import Ends, Leaf, leaf_sketch
from drafting.details.collars.under import under_leaf
from drafting.geometry import Point
from drafting.making import Corner, Making, Phase, Run, back_along, run
from drafting.pattern import EdgeKind, Finished, Method

COLLAR, UNDER = "collar", "under-collar"
_SAME = 0.05  # mm: layers that differ by less are sewn as equals


def half_neck(making: Making) -> Run:
    """From the centre back round to the centre front."""
    return back_along(making.lines["back neck"]) + making.lines["front neck"]


def neck_length(making: Making) -> float:
    return making.run_length(half_neck(making))


def collar_ends(making: Making, *, parted_in_front: bool) -> Ends:
    """A collar is parted where the garment opens; a flat one and one turned over in front always."""
    front_fold = not parted_in_front and not making.centre("front").parted
    return Ends(not making.centre("back").halved and not front_fold, front_fold)


def two_layers(
    making: Making, leaf: Leaf, ends: Ends, *, phase: Phase, grain: tuple[Point, Point] | None = None
) -> tuple[str, str]:
    """Collar and under-collar, made up and set on to the neckline."""
    pieces = layers(making, leaf, ends, grain)
    upper, under = pieces
    to_neck(making, run(under, "collar neck"), run(upper, "collar neck"), half_neck(making), phase)
    return pieces


def layers(
    making: Making, leaf: Leaf, ends: Ends, grain: tuple[Point, Point] | None = None
) -> tuple[str, str]:
    """Collar and under-collar sewn together round their outer edge; the under-collar is interfaced.

    The under-collar is smaller by the turn of the cloth, and the collar is eased on to it by as much.
    """
    allowance = making.house["enclosed_allowance"]
    under = under_leaf(leaf, making.house["under_collar_less"], ends)
    for name, shape in ((COLLAR, leaf), (UNDER, under)):
        making.add(leaf_sketch(name, shape, ends, allowance=allowance, interfaced=name == UNDER, grain=grain))
    for edge in ("collar edge", "collar end", "collar back"):
        if making.sketches[COLLAR].stroke(edge).kind is EdgeKind.SEAM:
            _join(making, edge)
    for edge in ("collar edge", "collar neck"):
        if ends.back_fold:
            _square(making, edge, "collar back", "back")
        if ends.front_fold:
            _square(making, edge, "collar end", "front")
    making.finished.append(Finished("collar width at the centre back", leaf.back.length))
    return COLLAR, UNDER


def _join(making: Making, edge: str) -> None:
    both = run(COLLAR, edge), run(UNDER, edge)
    ease = making.run_length(both[0]) - making.run_length(both[1])
    making.sew(Phase.FACINGS, edge, *both, Method.ENCLOSED, ease=ease if abs(ease) > _SAME else 0.0)


def _square(making: Making, edge: str, fold: str, side: str) -> None:
    for name in (COLLAR, UNDER):
        making.square(f"{edge} of the {name} at the centre {side}", Corner(name, edge, fold))


def to_neck(making: Making, outer: Run, inner: Run, neck: Run, phase: Phase) -> None:
    """The layer next to the garment is sewn to the neckline, the other encloses the seam or lies in it."""
    making.sew(phase, "collar to the neckline", outer, neck)
    making.sew(phase, "inner edge of the collar", inner, neck, Method.LINED)
