"""The pieces of a sleeve: the sleeve itself, and what ends it: cuff, band, the strip of a slit.

Frame of a sleeve: that of ``blocks.sleeve``. Cuffs, bands and strips lie along x, their seam to the sleeve
below; all are folded lengthwise.
"""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.rules import House
from drafting.blocks.sketch import Sketch, Stroke
from drafting.blocks.sleeve import Sleeve
from drafting.geometry import Path, Point
from drafting.pattern import Cut, Dart, EdgeKind, MarkKind

_WIDEST_CAP = 0.625 * 25.4  # mm: more would not lie flat in the curve of an armhole (common practice)
_SLIT_SHARE = 0.25  # of the sleeve's end, from the back underarm (common practice, no source)
_LEGS = ("elbow dart upper", "elbow dart lower")
_HOLE_BEYOND = 3.0  # mm a buttonhole begins beyond its button's place


def cap_allowance(house: House) -> float:
    """The allowance of cap and armhole, mm."""
    return min(house["seam_allowance"], _WIDEST_CAP)


def sleeve_piece(
    name: str, sleeve: Sleeve, house: House, *, hem: float, cloth: str = "shell", slit: float = 0.0
) -> Sketch:
    """A sleeve whose edge is turned up by ``hem`` mm, or sewn to a cuff or band where that is 0.

    Edges: "cap", "underarm front", "underarm back", and "hem" or "end"; a slit parts the end into "end back"
    and "end front", an elbow dart the back seam into "underarm back" and "underarm back lower".
    """
    seam = house["seam_allowance"]
    sketch = Sketch(
        name,
        [
            *_lower(sleeve, hem, seam, slit),
            Stroke("underarm front", sleeve.front, EdgeKind.SEAM, seam),
            Stroke("cap", sleeve.cap, EdgeKind.SEAM, cap_allowance(house)),
            *_back_seam(sleeve, seam),
        ],
        (Cut(cloth, 2, mirrored=True),),
        _grain(sleeve),
        turned=("hem",) if hem else (),
    )
    if sleeve.elbow:
        dart = sleeve.elbow
        sketch.darts.append(Dart("", "elbow dart", dart.upper, dart.apex, dart.lower, _LEGS))
    sketch.notch("cap", sleeve.notches.front)
    sketch.notch("cap", sleeve.notches.shoulder)
    sketch.notch("cap", sleeve.notches.back, 2)
    if slit:
        _mark_slit(sketch, slit)
    return sketch


def back_seam_names(sleeve: Sleeve) -> tuple[str, ...]:
    """The edges of the back underarm seam, downward."""
    return ("underarm back", "underarm back lower")[: len(sleeve.backs)]


def _back_seam(sleeve: Sleeve, allowance: float) -> list[Stroke]:
    """From the cap down, the legs of an elbow dart between."""
    names = zip(back_seam_names(sleeve), sleeve.backs, strict=True)
    seams = [Stroke(name, path, EdgeKind.SEAM, allowance) for name, path in names]
    if sleeve.elbow is None:
        return seams
    dart = sleeve.elbow
    legs = zip(_LEGS, (dart.upper, dart.lower), strict=True)
    return [
        seams[0],
        *(Stroke(name, Path.line(mouth, dart.apex), EdgeKind.DART) for name, mouth in legs),
        seams[1],
    ]


def _lower(sleeve: Sleeve, hem: float, seam: float, slit: float) -> list[Stroke]:
    if hem:
        return [Stroke("hem", sleeve.hem, EdgeKind.HEM, hem)]
    if not slit:
        return [Stroke("end", sleeve.hem, EdgeKind.SEAM, seam)]
    back, front = sleeve.hem.split_at(_SLIT_SHARE * sleeve.hem.length)
    return [
        Stroke("end back", back, EdgeKind.SEAM, seam),
        Stroke("end front", front, EdgeKind.SEAM, seam),
    ]


def _grain(sleeve: Sleeve) -> tuple[Point, Point]:
    middle = sleeve.hem.point_at(sleeve.hem.length / 2).y
    tall = sleeve.height - middle
    return Point(0.0, middle + 0.12 * tall), Point(0.0, sleeve.height - 0.12 * tall)


def _mark_slit(sketch: Sketch, slit: float) -> None:
    foot = sketch.path("end back").end
    top = foot + Point(0.0, slit)
    sketch.mark("slit", MarkKind.GUIDE, Path.line(foot, top))
    sketch.mark("end of the slit", MarkKind.DRILL, Path.line(top, top + Point(0.0, 1.0)))


@dataclass(frozen=True, slots=True)
class CuffSize:
    """``girth``: closed; ``depth``: as it shows; ``lap``: how far it reaches beyond where it closes, mm."""

    girth: float
    depth: float
    lap: float
    button: float = 0.0


def cuff_piece(size: CuffSize, house: House) -> Sketch:
    """A straight buttoned cuff, folded along its outer edge.

    Edges, from the seam to the sleeve round: "seam", "lap", "lap end", "lap end inner", "lap inner",
    "inner", "end inner", "end". What is inner is folded on to what is not.
    """
    g, d, far = size.girth, size.depth, size.girth + size.lap
    seam, enclosed = house["seam_allowance"], house["enclosed_allowance"]
    corners = (
        ("seam", (0.0, 0.0), (g, 0.0), seam),
        ("lap", (g, 0.0), (far, 0.0), seam),
        ("lap end", (far, 0.0), (far, d), enclosed),
        ("lap end inner", (far, 2 * d), (far, d), enclosed),
        ("lap inner", (g, 2 * d), (far, 2 * d), seam),
        ("inner", (0.0, 2 * d), (g, 2 * d), seam),
        ("end inner", (0.0, 2 * d), (0.0, d), enclosed),
        ("end", (0.0, 0.0), (0.0, d), enclosed),
    )
    sketch = Sketch(
        "cuff",
        [Stroke(name, Path.line(Point(*a), Point(*b)), EdgeKind.SEAM, w) for name, a, b, w in corners],
        _FUSED_PAIR,
        _lengthwise(far, 0.5 * d),
    )
    sketch.mark("fold", MarkKind.GUIDE, Path.line(Point(0.0, d), Point(far, d)))
    _mark_button(sketch, size)
    return sketch


_FUSED_PAIR = (Cut("shell", 2, mirrored=True), Cut("interfacing", 2, mirrored=True))


def _lengthwise(length: float, y: float) -> tuple[Point, Point]:
    return Point(0.25 * length, y), Point(0.75 * length, y)


def _mark_button(sketch: Sketch, size: CuffSize) -> None:
    """The button sits in the middle of the lap, its hole as far inside the other end."""
    at, y = size.lap / 2, size.depth / 2
    hole = Path.line(Point(at - _HOLE_BEYOND, y), Point(at - _HOLE_BEYOND + size.button, y))
    sketch.mark("buttonhole", MarkKind.BUTTONHOLE, hole)
    place = Point(size.girth + at, y)
    sketch.mark("button", MarkKind.BUTTON, Path.line(place - Point(0.0, 1.5), place + Point(0.0, 1.5)))


def band_piece(girth: float, depth: float, house: House) -> Sketch:
    """A closed band, folded along its outer edge.

    Edges: "seam" to the sleeve, "inner", and "start" and "end", which are joined.
    """
    seam, tall = house["seam_allowance"], 2 * depth
    sketch = Sketch(
        "sleeve band",
        [
            Stroke("seam", Path.line(Point(0.0, 0.0), Point(girth, 0.0)), EdgeKind.SEAM, seam),
            Stroke("end", Path.line(Point(girth, 0.0), Point(girth, tall)), EdgeKind.SEAM, seam),
            Stroke("inner", Path.line(Point(0.0, tall), Point(girth, tall)), EdgeKind.SEAM, seam),
            Stroke("start", Path.line(Point(0.0, 0.0), Point(0.0, tall)), EdgeKind.SEAM, seam),
        ],
        _FUSED_PAIR,
        _lengthwise(girth, 0.5 * depth),
    )
    sketch.mark("fold", MarkKind.GUIDE, Path.line(Point(0.0, depth), Point(girth, depth)))
    return sketch


def slit_strip(slit: float, shown: float) -> Sketch:
    """The straight strip that binds both sides of a slit, cut to its width: four times what shows.

    Edges: "slit" and "inner" (its long sides), "start" and "end", which are caught in the cuff's seam.
    """
    length, width = 2 * slit, 4 * shown
    sides = (
        ("slit", (0.0, 0.0), (length, 0.0), EdgeKind.SEAM),
        ("end", (length, 0.0), (length, width), EdgeKind.HEM),
        ("inner", (0.0, width), (length, width), EdgeKind.SEAM),
        ("start", (0.0, 0.0), (0.0, width), EdgeKind.HEM),
    )
    return Sketch(
        "slit strip",
        [Stroke(name, Path.line(Point(*a), Point(*b)), kind) for name, a, b, kind in sides],
        (Cut("shell", 2, mirrored=True),),
        _lengthwise(length, width / 2),
    )
