"""Pockets: in the side seams, or patched on."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.pockets import Patch, bag_edge, patch
from drafting.errors import BadChoice
from drafting.geometry import Path, Point
from drafting.making import Making, Phase, Step, run
from drafting.pattern import Cut, EdgeKind, MarkKind, Method
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.closures import SIDE_ZIP
from drafting.styles.parts.line_places import put_along, reached

NO_POCKETS, SIDE_POCKETS, PATCH_POCKETS = "none", "side-seam", "patch"
LABELS = {
    NO_POCKETS: "none",
    SIDE_POCKETS: "in the side seams",
    PATCH_POCKETS: "patched on to the front",
}
_BAG, _PATCH = "pocket bag", "pocket"
_GROWN, _SMALLEST = 1600.0, 0.5  # mm of stature of a whole pocket; share of the smallest child's
_ROOM = 15.0  # mm of side seam that stays sewn above and below an opening
_PATCH_FROM_CENTRE = 0.36  # of the panel's width: where a patch begins
_PATCH_SHARE = 0.52  # of the panel's width: a patch is no wider
_PATCH_HEM = 25.4  # mm, 1 in: hem of the upper edge
_TURNED_IN = 10.0  # mm: turned in at the other edges


@dataclass(frozen=True, slots=True)
class Pockets:
    """The pockets that a style offers, the first its default; comes after skirt or trousers."""

    offered: tuple[str, ...] = (NO_POCKETS, SIDE_POCKETS, PATCH_POCKETS)
    needs: tuple[str, ...] = ("stature",)

    @property
    def clashes(self) -> tuple[Clash, ...]:
        instead = f"{self._instead} or another closure"
        advice = f"A side that opens with a zip has no room for a pocket; choose {instead}."
        return (Clash("closure", (SIDE_ZIP,), "pockets", (SIDE_POCKETS,), advice),)

    @property
    def _instead(self) -> str:
        """What does where the side seam has no room."""
        return "patch pockets" if PATCH_POCKETS in self.offered else "no pockets"

    @property
    def choices(self) -> tuple[Choice, ...]:
        options = tuple((name, LABELS[name]) for name in self.offered)
        return (Choice("pockets", "Pockets", "option", self.offered[0], options),)

    def make(self, making: Making) -> None:
        """Add the pockets that were chosen. Raises: BadChoice, field "pockets", where there is no room."""
        kind = making.chosen("pockets", self.offered[0])
        if kind == SIDE_POCKETS:
            _side_pockets(making, self._instead)
        elif kind == PATCH_POCKETS:
            _patch_pockets(making)


def _prefix(making: Making) -> str:
    """What the roles of the garment's lower half begin with."""
    return next((p for p in ("skirt ", "trouser ") if f"{p}front" in making.shells), "")


def _share(making: Making) -> float:
    """How far a child's pocket shrinks."""
    return max(_SMALLEST, min(1.0, making.body["stature"] / _GROWN))


# In the side seams


def _side_pockets(making: Making, instead: str) -> None:
    prefix = _prefix(making)
    openings = {side: _open(making, f"{prefix}{side}", instead) for side in ("front", "back")}
    front = making.sketches[openings["front"].piece]
    opening = front.path(openings["front"].edge)
    edge = bag_edge(opening)
    seam = making.house["seam_allowance"]
    making.add(
        Sketch(
            _BAG,
            [
                Stroke("pocket opening", opening, EdgeKind.SEAM, making.house["side_allowance"]),
                Stroke("bag edge", edge, EdgeKind.SEAM, seam),
            ],
            (Cut("shell", 4, mirrored=True),),
            _grain(edge),
            is_front=front.is_front,
        )
    )
    own = run(_BAG, "pocket opening")
    for side, step in openings.items():
        making.sew(Phase.POCKETS, f"pocket bag to the {side}", own, (step,))
    making.sew(Phase.SIDES, "edge of the pocket bag", run(_BAG, "bag edge"), run(_BAG, "bag edge"))
    making.note(
        Phase.POCKETS,
        "Sew a bag to each side of both openings and press it outward; the side seam then runs to the "
        "opening, round the bag and on below it.",
    )


def _grain(edge: Path) -> tuple[Point, Point]:
    points = edge.flatten(5.0)
    xs, ys = zip(*points, strict=True)
    x, low, high = sum(xs) / len(xs), min(ys), max(ys)
    return Point(x, low + 0.25 * (high - low)), Point(x, low + 0.65 * (high - low))


def _open(making: Making, role: str, instead: str) -> Step:
    """Part a side where the pocket opens; the side seam is said of what stays closed.

    A side that ends too soon (of a first tier, say) has its pocket higher than the house rule.

    Raises: BadChoice, field "pockets", where it is too short for that too; ``instead`` is what would do.
    """
    size = making.house["pocket_opening"] * _share(making)
    below = making.house["pocket_below_waist"] * _share(making)
    from_seam = below + max(making.waist_height, 0.0) if _prefix(making) else None
    for step in making.lines[f"{role} side"]:
        sketch = making.sketches[step.piece]
        stroke = sketch.stroke(step.edge)
        lowest = stroke.path.length - _ROOM - size
        at = max(reached(stroke.path, -below) if from_seam is None else min(from_seam, lowest), _ROOM)
        if at > lowest:
            continue
        above, rest = stroke.path.split_at(at)
        opening, under = rest.split_at(size)
        names = f"{step.edge} to the pocket", "pocket opening", f"{step.edge} from the pocket"
        parts = [
            Stroke(name, path, stroke.kind, stroke.allowance)
            for name, path in zip(names, (above, opening, under), strict=True)
        ]
        put_along(sketch, step.edge, parts)
        making.renamed(step, run(step.piece, names[0], names[2]))
        return Step(step.piece, names[1])
    raise BadChoice(
        f"the side seam has no room for a pocket {size:.0f} mm wide; choose {instead}",
        field="pockets",
    )


# Patched on


def _patch_pockets(making: Making) -> None:
    shell = making.shell(f"{_prefix(making)}front")
    drawn = _placed(making, shell)
    for name, path in (
        ("top", drawn.top),
        ("left", drawn.left),
        ("right", drawn.right),
        ("foot", drawn.foot),
    ):
        shell.mark(f"pocket placement, {name}", MarkKind.GUIDE, path)
    enclosed = [("left side", drawn.left), ("foot", drawn.foot), ("right side", drawn.right)]
    edges = [Stroke(name, path, EdgeKind.SEAM, _TURNED_IN) for name, path in enclosed]
    x, y = (drawn.top.start + drawn.top.end) * 0.5
    size = drawn.top.length
    making.add(
        Sketch(
            _PATCH,
            [
                Stroke("top", drawn.top, EdgeKind.HEM, _PATCH_HEM * _share(making)),
                edges[2],
                edges[1],
                edges[0],
            ],
            (Cut("shell", 2, mirrored=True),),
            (Point(x, y - 0.8 * size), Point(x, y - 0.25 * size)),
            is_front=shell.is_front,
        )
    )
    line = run(_PATCH, *(name for name, _ in enclosed))
    making.sew(Phase.POCKETS, "patch pocket on to its marks", line, line, Method.TOPSTITCHED)
    making.note(
        Phase.POCKETS,
        "Hem the upper edge of each pocket, press its other edges in, and topstitch it to its marks, the "
        "upper corners fastened.",
    )


def _placed(making: Making, shell: Sketch) -> Patch:
    """The patch as it lies on the front, below the waist and clear of centre and side."""
    top = min(making.waist_height, 0.0) - making.house["pocket_below_waist"] * _share(making)
    panel = _width_at(shell, top)
    width = min(making.house["patch_pocket_width"] * _share(making), _PATCH_SHARE * panel)
    found = patch(Point(_PATCH_FROM_CENTRE * panel, top), width)
    lowest = min(point.y for stroke in shell.strokes for point in (stroke.path.start, stroke.path.end))
    if found.corners[2].y < lowest + width * 0.2 or width < 30.0:
        raise BadChoice("the front has no room for a patch pocket; choose none", field="pockets")
    return found


def _width_at(shell: Sketch, height: float) -> float:
    """How far a front reaches outward at a height, mm."""
    return max(
        (p.x for stroke in shell.strokes for p in stroke.path.flatten(2.0) if abs(p.y - height) < 40.0),
        default=0.0,
    )
