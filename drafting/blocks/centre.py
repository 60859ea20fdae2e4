"""How a half of a garment meets its other half at the centre, and the edges that it has there."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.rules import House
from drafting.blocks.sketch import Stroke
from drafting.geometry import Path, Point
from drafting.pattern import Cut, EdgeKind


@dataclass(frozen=True, slots=True)
class Centre:
    """How a half meets its other half at the centre front or the centre back.

    ``kind``: ``fold`` (cut on the fold), ``seam``, ``zip`` (an opening from the top down to ``depth`` mm
    below the waist, a seam below it), ``fly`` (the same at the front of trousers, which draw it themselves),
    ``buttons`` (an overlap ``extension`` wide beyond the centre), ``half placket`` (cut on the fold and
    opened from the neckline ``depth`` mm down; its laps reach ``extension`` to either side of the centre). A
    ``fold`` with a ``depth`` is slit so far below its neckline. ``folded``: the overlap is folded back from
    the front itself.
    """

    kind: str = "fold"
    extension: float = 0.0
    depth: float = 0.0
    folded: bool = False

    @property
    def halved(self) -> bool:
        """Whether the piece is cut twice, a left and a right."""
        return self.kind not in {"fold", "half placket"}

    @property
    def parted(self) -> bool:
        """Whether what is set on to its upper end has two ends there."""
        return self.kind != "fold"

    @property
    def buttoned(self) -> bool:
        """Whether its upper end is closed with buttons."""
        return self.kind in {"buttons", "half placket"}

    def cut(self, cloth: str = "shell") -> Cut:
        """How a half that ends at this centre is cut."""
        return Cut(cloth, 2, mirrored=True) if self.halved else Cut(cloth, 1, on_fold=True)


def centre_strokes(
    centre: Centre,
    side: str,
    top: Point,
    foot: Point,
    house: House,
    *,
    lower: str = "waist extension",
    hem: float | None = None,
) -> list[Stroke]:
    """Strokes from a half's top at the centre down to its foot, as its centre asks.

    Args:
        centre: how it meets its other half.
        side: "front" or "back".
        top: end of the neckline (or of a waist) at the centre.
        foot: start of the waist or hem at the centre.
        house: allowances.
        lower: name of the short edge that an extension adds at the foot.
        hem: depth of the hem that this edge is part of, mm; the house's where None.

    Names: "centre front" (fold, seam or opening), "centre front seam" (below an opening), "neck extension"
    and "front edge" (buttons). An extension lies beyond the centre, at x < 0; its lower edge runs back to it.
    """
    name = f"centre {side}"
    line = Path.line(top, foot)
    if not centre.halved:
        return [Stroke(name, line, EdgeKind.FOLD, 0.0)]
    if centre.kind == "seam":
        return [Stroke(name, line, EdgeKind.SEAM, house["seam_allowance"])]
    if centre.kind == "zip":
        return _zipped(centre, name, top, foot, house["zip_allowance"])
    edge, end = Point(-centre.extension, top.y), Point(-centre.extension, foot.y)
    return [
        Stroke("neck extension", Path.line(top, edge), EdgeKind.SEAM, house["enclosed_allowance"]),
        Stroke(f"{side} edge", Path.line(edge, end), EdgeKind.SEAM, house["enclosed_allowance"]),
        _foot_of_stand(lower, Path.line(end, foot), house, hem),
    ]


def _foot_of_stand(name: str, path: Path, house: House, hem: float | None) -> Stroke:
    """The short edge below a button stand: part of the hem, or of a seam."""
    if name.startswith("hem"):
        return Stroke(name, path, EdgeKind.HEM, house["hem_depth"] if hem is None else hem)
    return Stroke(name, path, EdgeKind.SEAM, house["seam_allowance"])


def _zipped(centre: Centre, name: str, top: Point, foot: Point, allowance: float) -> list[Stroke]:
    stop = -centre.depth
    if foot.y >= stop - 1.0:
        return [Stroke(name, Path.line(top, foot), EdgeKind.OPENING, allowance)]
    if top.y <= stop + 1.0:
        return [Stroke(f"{name} seam", Path.line(top, foot), EdgeKind.SEAM, allowance)]
    middle = Point(top.x + (foot.x - top.x) * (top.y - stop) / (top.y - foot.y), stop)
    return [
        Stroke(name, Path.line(top, middle), EdgeKind.OPENING, allowance),
        Stroke(f"{name} seam", Path.line(middle, foot), EdgeKind.SEAM, allowance),
    ]
