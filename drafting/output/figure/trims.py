"""What lies on the garment: buttons, zip, waistband, pockets, belt."""

from __future__ import annotations

from drafting.details.buttons import HOLE_BEYOND
from drafting.geometry import Point, distance, lerp
from drafting.output.drawing import ring_of
from drafting.output.figure.ink import area, both, over, stroke, way
from drafting.output.figure.panels import Line, Side, fullness_marks, piece_named
from drafting.output.figure.uppers import neck_line
from drafting.output.shapes import Shape
from drafting.pattern import Draft, EdgeKind, MarkKind, Piece

_BUTTON = 8.0  # mm, radius as drawn
_STITCHED = {
    "fold of the placket": "edge",
    "stitching of the placket": "fine",
    "stitching of the fly": "fine",
}
_GATHERS = (
    0.5,
    0.34,
    0.38,
    0.22,
    0.26,
)  # of the way to the bust: folds below gathers (drawing only)
_GATHER_STEP = 11.0  # mm between them along the neckline


def button_shapes(side: Side, lift: float = 0.0) -> list[Shape]:
    """Buttons where the pieces mark them; those of a centre lie on it."""
    shapes = []
    for index, panel in enumerate(side.panels):
        for mark in panel.piece.marks:
            if mark.kind is MarkKind.BUTTON:
                p = side.place(index, panel.closed(panel.out(mark.path.point_at(mark.path.length / 2))))
                shapes.append(Shape("button", ring_of(Point(p[0], p[1] + lift), _BUTTON)))
    return shapes


def placket_shapes(draft: Draft, side: Side, sign: float) -> list[Shape]:
    """A placket as it shows: its fold and stitching on the front, or its overlap let into the opening."""
    shapes: list[Shape] = []
    for index, panel in enumerate(side.panels):
        for mark in panel.piece.marks:
            style = _STITCHED.get(mark.name)
            if style:
                line = (side.place(index, p) for p in panel.points(mark.path))
                shapes.append(stroke(style, way(tuple(line), sign)))
    overlap = piece_named(draft, "placket overlap")
    return shapes + (_overlap_shapes(overlap) if overlap else [])


def _overlap_shapes(piece: Piece) -> list[Shape]:
    """The outer half of the strip that lies on top, its buttons, and the stitching across its box.

    It was drafted on the front, seen from outside: its sewn edge lies left of the centre, its inner half
    beyond the fold to the right.
    """
    outline = piece.outline(1.0)
    half = -min(p[0] for p in outline)
    ring = tuple(p for p in outline if p[0] < half + 0.5)
    foot = min(p[1] for p in piece.edge("placket side").path.flatten(1.0))
    holes = (mark.path.start for mark in piece.marks if mark.kind is MarkKind.BUTTONHOLE)
    return [
        area("body", ring),
        stroke("fine", (Point(-half, foot), Point(half, foot))),
        *(Shape("button", ring_of(Point(0.0, hole[1] - HOLE_BEYOND), _BUTTON)) for hole in holes),
    ]


def gather_shapes(side: Side) -> list[Shape]:
    """Folds below a neckline that is gathered, towards where its fullness ends."""
    line = neck_line(side)
    shapes: list[Shape] = []
    for index, panel in enumerate(side.panels):
        for mark in fullness_marks(panel.piece):
            first = mark.path.segments[0]
            mouth, apex = (side.place(index, panel.closed(panel.out(p))) for p in (first.start, first.end))
            for k, reach in enumerate(_GATHERS):
                start = min(line, key=lambda p: distance(p, mouth)) if not k else _along(line, mouth, k)
                shapes += both("fold", [(lerp(start, apex, 0.03), lerp(start, apex, reach))])
    return shapes


def _along(line: Line, mouth: Point, k: int) -> Point:
    """A point of the line beside the one next to ``mouth``: by turns on either side, further each time."""
    wished = _GATHER_STEP * ((k + 1) // 2)
    middle = min(line, key=lambda p: distance(p, mouth))
    here = line.index(middle)
    beside = line[here:] if k % 2 else line[: here + 1][::-1]
    return min(beside, key=lambda p: abs(distance(p, middle) - wished))


def keyhole_shapes(side: Side) -> list[Shape]:
    """The opening below the neckline where one is marked."""
    return [
        area("inside", line, over(line)[::-1])
        for index, panel in enumerate(side.panels)
        for mark in panel.piece.marks
        if mark.name.startswith("keyhole")
        for line in [tuple(side.place(index, p) for p in panel.points(mark.path))]
    ]


def slit_shapes(side: Side) -> list[Shape]:
    """A slit below the back neckline."""
    return [
        stroke("edge", tuple(side.place(index, p) for p in panel.points(mark.path)))
        for index, panel in enumerate(side.panels)
        for mark in panel.piece.marks
        if mark.name.startswith("slit")
    ]


def zip_shapes(draft: Draft, side: Side, sign: float) -> list[Shape]:
    """A zip in the centre: its seam with a bar at the lower end, and the stitching of one that is lapped."""
    lapped = draft.choices.get("zip_set") == "lapped"
    shapes = []
    for index, panel in enumerate(side.panels):
        for edge in panel.piece.edges:
            if edge.kind is not EdgeKind.OPENING or not edge.name.startswith("centre back"):
                continue
            line = side.line(index, edge)
            foot = min(line, key=lambda p: p[1])
            if lapped:
                beside = sorted(line, key=lambda p: -p[1])
                across = (*(p + Point(10.0 * sign, 0.0) for p in beside), foot)
                shapes.append(stroke("fine", across))
            shapes.append(stroke("seam", line))
            shapes.append(stroke("seam", (foot - Point(6.0, 0.0), foot + Point(6.0, 0.0))))
    return shapes


def waistband_of(draft: Draft) -> Piece | None:
    return piece_named(draft, "waistband", "waist casing")


def waistband_depth(piece: Piece | None) -> float:
    """How deep a band shows: half of a folded one."""
    if piece is None:
        return 0.0
    ys = [p[1] for p in piece.outline(1.0)]
    folded = any(mark.name.startswith("fold") for mark in piece.marks)
    return (max(ys) - min(ys)) / (2 if folded else 1)


def band_shapes(draft: Draft, waist: Line) -> list[Shape]:
    """The waistband above the upper edge of a skirt or trousers; folds where it holds elastic."""
    depth = waistband_depth(waistband_of(draft))
    raised = tuple(p + Point(0.0, depth) for p in waist)
    half = (*waist, *raised[::-1])
    shapes = [area("cloth", over(half)), area("cloth", half)]
    shapes += both("edge", [waist, (*raised, waist[-1])])
    if any(need.kind == "elastic" for need in draft.notions):
        for k in range(1, 8):
            p = (
                waist[round(k * (len(waist) - 1) / 8)]
                if len(waist) > 8
                else waist[0] + (waist[-1] - waist[0]) * (k / 8)
            )
            shapes += both("fold", [(p + Point(0.0, depth * 0.15), p + Point(0.0, depth * 0.85))])
    return shapes


def pocket_shapes(side: Side) -> list[Shape]:
    """Patch pockets where they are marked on the pieces."""
    shapes: list[Shape] = []
    for index, panel in enumerate(side.panels):
        lines = [
            tuple(side.place(index, p) for p in panel.points(mark.path))
            for mark in panel.piece.marks
            if mark.name.startswith("pocket placement")
        ]
        if len(lines) > 2:
            ring = _chained(lines)
            shapes += [area("pocket", over(ring)), area("pocket", ring)]
    return shapes


def _chained(lines: list[Line]) -> Line:
    """The lines one after the other, each begun where the one before ends."""
    first, *rest = lines
    found = list(first)
    while rest:
        at = found[-1]
        nearest = min(rest, key=lambda line: min(distance(at, line[0]), distance(at, line[-1])))
        rest.remove(nearest)
        found += nearest if distance(at, nearest[0]) <= distance(at, nearest[-1]) else nearest[::-1]
    return tuple(found)


def belt_shapes(draft: Draft, side: Side, at: float) -> list[Shape]:
    """A belt round the waist; its buckle is not drawn."""
    piece = piece_named(draft, "belt", "sash", "tie belt")
    if piece is None:
        return []
    xs, ys = zip(*piece.outline(1.0), strict=True)
    deep = min(max(xs) - min(xs), max(ys) - min(ys)) / 2
    half = side.half_width(at) + 3.0
    high, low = at + deep / 2, at - deep / 2
    ring = (Point(0.0, high), Point(half, high), Point(half, low), Point(0.0, low))
    return [area("body", ring + over(ring)[::-1])]
