"""A pattern piece as it is drawn on paper: lines, marks, and the words beside them.

Signs used, all common practice of the trade: solid cut line, dashed stitch line, double-headed grain arrow,
bracket arrows at a fold, small wedges for notches, a barred line for a buttonhole, a crossed ring for a
button.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import groupby, product
from math import atan2, degrees

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from drafting.finishing.remarks import allowance_remark
from drafting.geometry import Path, Point, cross, distance, lerp, perpendicular, unit
from drafting.output.cutting import piece_cutting
from drafting.output.lettering import SMALLEST, BlockLine, place_block, readable, text_box
from drafting.output.shapes import (
    Drawing,
    Shape,
    Words,
    at,
    line_data,
    number,
    path_data,
    ring_data,
    text_width,
)
from drafting.pattern import Edge, EdgeKind, Mark, MarkKind, Notch, Piece
from drafting.units import Unit, format_length

STYLE = """
.pattern path,.pattern circle{fill:none;stroke:#111;stroke-width:.35}
.pattern path{stroke-linejoin:round;stroke-linecap:round}
.pattern .paper{fill:#fffdf8;stroke:none}
.pattern .paper.lining{fill:#eef4f7}
.pattern .paper.interfacing{fill:#f5f1f6}
.pattern .cut{stroke-width:.7}
.pattern .stitch{stroke-width:.35;stroke-dasharray:4 2.2;stroke:#333}
.pattern .fold{stroke-width:.6;stroke-dasharray:14 3 3 3}
.pattern .head,.pattern .notch{fill:#111;stroke-width:.2}
.pattern .grain{stroke-width:.5}
.pattern .roll{stroke-width:.5;stroke-dasharray:9 3}
.pattern .pleat{stroke-width:.4}
.pattern .placement{stroke-width:.4;stroke-dasharray:6 3}
.pattern .centre{stroke-width:.35;stroke-dasharray:14 3 3 3}
.pattern .guide{stroke-width:.3;stroke-dasharray:1 2}
.pattern .hole{stroke-width:.5}
.pattern .square{stroke-width:.25}
.pattern .t{font-family:DejaVu Sans,Verdana,sans-serif;fill:#111;stroke:none}
""".strip()

SCREEN_STYLE = """
.pattern{max-width:100%;height:auto}
@media screen{.pattern path,.pattern circle{vector-effect:non-scaling-stroke;stroke-width:1px}
.pattern .cut{stroke-width:2px}.pattern .paper{stroke-width:0}.pattern .guide{stroke-width:.8px}}
""".strip()

_MARK_STYLES = {
    MarkKind.ROLL_LINE: "roll",
    MarkKind.PLEAT_FOLD: "pleat",
    MarkKind.PLEAT_PLACEMENT: "placement",
    MarkKind.DART: "stitch",
    MarkKind.CENTRE_LINE: "centre",
    MarkKind.LENGTHEN: "guide",
    MarkKind.GUIDE: "guide",
    MarkKind.BUTTON: "hole",
    MarkKind.BUTTONHOLE: "hole",
    MarkKind.DRILL: "hole",
}
_SIGN_REACH = {
    MarkKind.LENGTHEN: 2.2,
    MarkKind.BUTTON: 5.0,
    MarkKind.BUTTONHOLE: 2.8,
    MarkKind.DRILL: 2.5,
}
_NO_BREAK = "\u00a0"
_SMALL = 3.4
"""Size of the words along a line, mm."""
_NAMED_EDGE = 45.0
"""A shorter edge is known by its neighbours, mm."""


def piece_drawing(
    piece: Piece, *, unit: Unit, remarks: tuple[str, ...] = (), largest: float = 16.0, lettered: bool = True
) -> Drawing:
    """Return a piece at true scale where it lies, its y turned down.

    Args:
        piece: finished or not; without a cut line its stitch line is drawn solid.
        unit: of the allowances named on it.
        remarks: further lines of its label, after its own.
        largest: size of the piece's name, mm, where there is room for it.
        lettered: whether words stand on it; finding room for them takes half of the time of a drawing.
    """
    shapes = [
        Shape(f"paper {_main_cloth(piece)}", ring_data(cut_ring(piece))),
        *(Shape("stitch", data) for data in _stitch_data(piece)),
        *_outer_lines(piece),
    ]
    signs = [
        *(fold_bracket(edge) for edge in _folds(piece)),
        grain_arrow(piece.grain),
        *(notch_sign(piece.edge(notch.edge), notch) for notch in piece.notches),
        *(mark_sign(mark) for mark in piece.marks),
    ]
    lettering = Drawing(words=_lettering(piece, unit, remarks, largest) if lettered else ())
    return Drawing.together([Drawing(tuple(shapes)), *signs, lettering])


def cut_ring(piece: Piece) -> tuple[Point, ...]:
    """The cut line, or the stitch line of a piece that is not finished."""
    return piece.cut_line or piece.outline()


def label_lines(piece: Piece, unit: Unit, remarks: tuple[str, ...] = ()) -> tuple[BlockLine, ...]:
    """What is written on a piece: name, how to cut it, allowances, remarks."""
    cuts = [f"{line.cloth}: {line.words}" for line in piece_cutting(piece)]
    # Finishing says the allowances in mm; here they are said in the workshop's unit.
    own = [text for text in piece.remarks if text != allowance_remark(piece)]
    small = [row for text in (_allowances(piece, unit), *own) for row in _wrapped(text)]
    return (
        BlockLine(piece.name, 1.0, bold=True),
        *(BlockLine(text, 0.58) for text in cuts),
        *(BlockLine(text, 0.42) for text in [*small, *remarks]),
    )


def _main_cloth(piece: Piece) -> str:
    cloth = piece.cuts[0].cloth if piece.cuts else "shell"
    return cloth if cloth in {"shell", "lining", "interfacing"} else "shell"


def _folds(piece: Piece) -> list[Edge]:
    return [edge for edge in piece.edges if edge.kind is EdgeKind.FOLD]


def _outer_lines(piece: Piece) -> list[Shape]:
    """The cut line, and in its place the fold line where the piece lies on the fold of the cloth."""
    ring = cut_ring(piece)
    folds = [(edge.path.start, edge.path.end) for edge in _folds(piece)]
    if not folds:
        return [Shape("cut", ring_data(ring))]
    sides = [
        (a, b, any(_on_line(a, *fold) and _on_line(b, *fold) for fold in folds)) for a, b in _sides(ring)
    ]
    # Begun where a fold ends, so that no run is cut in two by the start of the ring.
    begin = (
        next((i for i, side in enumerate(sides) if side[2] and not sides[(i + 1) % len(sides)][2]), -1) + 1
    )
    runs = groupby(sides[begin:] + sides[:begin], key=lambda side: side[2])
    shapes = []
    for folded, run in runs:
        parts = list(run)
        shapes.append(Shape("fold" if folded else "cut", line_data(parts[0][0], *(b for _, b, _ in parts))))
    return shapes


def _sides(ring: tuple[Point, ...]) -> list[tuple[Point, Point]]:
    return [(a, b) for a, b in zip(ring, (*ring[1:], ring[0]), strict=True) if a != b]


def _on_line(p: Point, a: Point, b: Point) -> bool:
    """Whether ``p`` is within 0.1 mm of the unlimited line through two points."""
    return distance(a, b) > 0 and abs(cross(b - a, p - a)) / distance(a, b) < 0.1


def _stitch_data(piece: Piece) -> list[str]:
    """Path data of each run of edges whose stitch line is not the cut line."""
    runs = groupby(
        piece.edges,
        key=lambda edge: edge.kind is EdgeKind.DART or (bool(piece.cut_line) and edge.allowance > 0),
    )
    data = []
    for drawn, run in runs:
        if drawn:
            first, *rest = run
            data.append(path_data(first.path) + "".join(path_data(edge.path, joined=True) for edge in rest))
    return data


def _allowances(piece: Piece, unit: Unit) -> str:
    """``allowances drawn: seam 15 mm; hem 50 mm``, in the workshop's unit."""
    parts = []
    for kind in (EdgeKind.SEAM, EdgeKind.HEM, EdgeKind.OPENING):
        widths = sorted({edge.allowance for edge in piece.edges if edge.kind is kind})
        if any(widths):
            parts.append(f"{kind}{_NO_BREAK}{' or '.join(_length(width, unit) for width in widths)}")
    return f"allowances drawn: {'; '.join(parts)}" if parts else "no allowance: cut on the line"


def _length(mm: float, unit: Unit) -> str:
    # No line ends between a number, its fraction and its unit.
    return "0" if mm == 0 else f"{format_length(mm, unit)} {unit}".replace(" ", _NO_BREAK)


def _wrapped(text: str, width: int = 44) -> list[str]:
    rows: list[str] = []
    for word in text.split(" "):
        if rows and len(rows[-1]) + 1 + len(word) <= width:
            rows[-1] += " " + word
        else:
            rows.append(word)
    return rows


# Signs


def arrow_head(tip: Point, towards: Point, size: float = 4.0) -> Shape:
    """A filled head with its tip at ``tip``, pointing along the unit vector ``towards``."""
    back = tip - towards * size
    side = perpendicular(towards) * (size * 0.32)
    return Shape("head", f"M{at(tip)}L{at(back + side)}L{at(back - side)}Z")


def grain_arrow(grain: tuple[Point, Point]) -> Drawing:
    """The grain line with a head at both ends."""
    a, b = grain
    if distance(a, b) < 1.0:
        return Drawing()
    along = unit(b - a)
    return Drawing((Shape("grain", line_data(a, b)), arrow_head(b, along, 6.0), arrow_head(a, -along, 6.0)))


def notch_sign(edge: Edge, notch: Notch) -> Drawing:
    """A wedge on the cut line for each count, pointing to the stitch line, and a stroke that reaches it."""
    shapes: list[Shape] = []
    step = 5.0
    for index in range(notch.count):
        s = notch.at + (index - (notch.count - 1) / 2) * step
        s = min(max(s, 0.0), edge.length)
        stitch = edge.path.point_at(s)
        along = edge.path.tangent_at(s)
        outward = -perpendicular(along)
        cut = stitch + outward * edge.allowance
        tip = cut - outward * 4.0
        shapes.append(
            Shape("notch", f"M{at(cut - along * 1.6)}L{at(cut + along * 1.6)}L{at(tip)}Z"),
        )
        if edge.allowance > 5.0:
            shapes.append(Shape("mark", line_data(tip, stitch)))
    return Drawing(tuple(shapes))


def fold_bracket(edge: Edge) -> Drawing:
    """A bracket whose two arrows point at the edge that lies on the fold, with the words in it."""
    length = edge.length
    reach = min(length * 0.3, 110.0)
    inset = min(14.0, length * 0.1)
    a, b = edge.path.point_at(length / 2 - reach), edge.path.point_at(length / 2 + reach)
    if distance(a, b) < 1.0:
        return Drawing()
    inward = perpendicular(unit(b - a))
    head = min(4.0, inset * 0.5)
    shapes = (
        Shape("grain", line_data(a, a + inward * inset, b + inward * inset, b)),
        arrow_head(a, -inward, head),
        arrow_head(b, -inward, head),
    )
    words = beside(a + inward * inset, b + inward * inset, "place on fold", min(5.0, reach * 0.16), gap=1.5)
    return Drawing(shapes, (words,))


def beside(a: Point, b: Point, text: str, size: float, *, gap: float = 1.0, left: bool = True) -> Words:
    """Words centred beside the line from ``a`` to ``b``: on its left, or on its right."""
    middle = lerp(a, b, 0.5)
    angle = degrees(atan2(b[1] - a[1], b[0] - a[0]))
    upright = readable(angle)
    side = perpendicular(unit(b - a)) * (1.0 if left else -1.0)
    # The baseline is the near side of words that read along the line and stand to its left.
    above = (abs(upright - angle) < 1.0) == left
    anchor = middle + side * (gap if above else gap + size * 0.76)
    return Words(anchor[0], -anchor[1], size, text, angle=-upright)


def mark_sign(mark: Mark) -> Drawing:
    """The sign of an internal mark, without its name. A mark without length is drawn as a point."""
    if mark.path.length < 0.5:
        return _point_sign(mark)
    draw = _SIGNS.get(mark.kind, _line_sign)
    return draw(mark)


def _line_sign(mark: Mark) -> Drawing:
    style = _MARK_STYLES[mark.kind]
    shapes = [Shape(style, path_data(mark.path))]
    if mark.arrow:
        shapes.append(arrow_head(mark.path.end, mark.path.end_tangent, min(5.0, mark.path.length * 0.4)))
    return Drawing(tuple(shapes))


def _lengthen_sign(mark: Mark) -> Drawing:
    a, b = mark.path.start, mark.path.end
    side = perpendicular(unit(b - a)) * 1.5
    return Drawing(
        (Shape("mark", line_data(a + side, b + side)), Shape("mark", line_data(a - side, b - side)))
    )


def _buttonhole_sign(mark: Mark) -> Drawing:
    a, b = mark.path.start, mark.path.end
    bar = perpendicular(unit(b - a)) * 2.5
    lines = ((a, b), (a - bar, a + bar), (b - bar, b + bar))
    return Drawing(tuple(Shape("hole", line_data(*line)) for line in lines))


def _point_sign(mark: Mark) -> Drawing:
    """A crossed ring: as wide as the button where the mark has a length, small for a drill hole."""
    a, b = mark.path.start, mark.path.end
    centre = lerp(a, b, 0.5)
    radius = max(distance(a, b) / 2, 2.0 if mark.kind is MarkKind.DRILL else 4.0)
    x, y = Point(radius, 0.0), Point(0.0, radius)
    return Drawing(
        (
            Shape("hole", ring_of(centre, radius)),
            Shape("hole", line_data(centre - x, centre + x)),
            Shape("hole", line_data(centre - y, centre + y)),
        )
    )


def ring_of(centre: Point, radius: float) -> str:
    """A circle as SVG path data."""
    r = number(radius)
    across = number(2 * radius)
    return f"M{at(centre - Point(radius, 0.0))}a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0 -{across} 0Z"


_SIGNS: dict[MarkKind, Callable[[Mark], Drawing]] = {
    MarkKind.LENGTHEN: _lengthen_sign,
    MarkKind.BUTTONHOLE: _buttonhole_sign,
    MarkKind.BUTTON: _point_sign,
    MarkKind.DRILL: _point_sign,
}


# Words


def _lettering(piece: Piece, unit: Unit, remarks: tuple[str, ...], largest: float) -> tuple[Words, ...]:
    """The piece's label first, as large as it goes; then the names of its lines where they find room."""
    ring = Polygon(piece.outline(0.5)).buffer(0)
    area = ring.buffer(-2.5)
    if area.is_empty:
        area = ring
    strong = shapely.union_all([*_sign_areas(piece), *_mark_areas(piece, strong=True)])
    weak = shapely.union_all(list(_mark_areas(piece, strong=False)))
    label = place_block(label_lines(piece, unit, remarks), area, (strong, weak), largest)
    words = list(label)
    taken = [text_box(line) for line in label] + [
        text_box(word) for edge in _folds(piece) for word in fold_bracket(edge).words
    ]
    lines = shapely.union_all(
        [LineString(path.flatten(0.5)).buffer(reach) for path, reach in _inner_paths(piece)]
    )
    shapely.prepare([area, lines])
    for (name, path), sides in (
        *((named, (True, False)) for named in _named_lines(piece)),
        # An outline is counter-clockwise: its piece lies to the left.
        *((named, (True,)) for named in _named_edges(piece)),
    ):
        found = _line_words(name, path, sides, area, (lines, taken))
        if found is not None:
            words.append(found)
            taken.append(text_box(found))
    return tuple(words)


def _inner_paths(piece: Piece) -> Iterable[tuple[Path, float]]:
    """The lines inside a piece, and how far their signs reach to either side of them, mm."""
    yield Path.line(*piece.grain), 0.6
    for mark in piece.marks:
        yield mark.path, _SIGN_REACH.get(mark.kind, 0.6)


def _sign_areas(piece: Piece) -> Iterable[BaseGeometry]:
    """What a label may not cover of the signs that every piece has."""
    yield LineString(piece.grain).buffer(3.0)
    for edge in _folds(piece):
        sign = fold_bracket(edge)
        yield from (text_box(word).buffer(2.0) for word in sign.words)
        a, b = edge.path.start, edge.path.end
        yield LineString([a, b]).buffer(min(16.0, edge.length * 0.12) if sign.shapes else 1.0)


def _mark_areas(piece: Piece, *, strong: bool) -> Iterable[BaseGeometry]:
    """Pleat and guide lines are weak: on a piece that is full of them the label lies over some."""
    weak_kinds = {MarkKind.PLEAT_FOLD, MarkKind.PLEAT_PLACEMENT, MarkKind.GUIDE, MarkKind.LENGTHEN}
    for mark in piece.marks:
        if (mark.kind not in weak_kinds) == strong:
            yield LineString(mark.path.flatten(0.5)).buffer(_mark_reach(mark))


def _mark_reach(mark: Mark) -> float:
    return 6.0 if mark.kind in {MarkKind.BUTTON, MarkKind.BUTTONHOLE, MarkKind.DRILL} else 1.6


def _named_lines(piece: Piece) -> Iterable[tuple[str, Path]]:
    """The grain line, and the first mark of every name that is long enough to be read along."""
    if distance(*piece.grain) > 30.0:
        yield "grain", Path.line(*piece.grain)
    seen: set[str] = set()
    for mark in piece.marks:
        if mark.name not in seen and mark.path.length > 12.0:
            seen.add(mark.name)
            yield mark.name, mark.path


def _named_edges(piece: Piece) -> Iterable[tuple[str, Path]]:
    """Every edge that is sewn, hemmed or opened and long enough to be named along its stitch line."""
    for edge in piece.edges:
        if edge.kind not in {EdgeKind.FOLD, EdgeKind.DART} and edge.length > _NAMED_EDGE:
            yield edge.name, edge.path


def _line_words(
    name: str,
    path: Path,
    sides: tuple[bool, ...],
    area: BaseGeometry,
    obstacles: tuple[BaseGeometry, list[Polygon]],
) -> Words | None:
    """Words along a line, inside the piece and clear of everything; None where no place is clear.

    ``sides``: whether they may stand left of the line (True), right of it (False). ``obstacles``: the lines
    inside the piece, and the words that stand already.
    """
    lines, taken = obstacles
    length = path.length
    for size in (_SMALL * 1.3, _SMALL, SMALLEST):
        reach = text_width(name, size) / 2
        if reach * 2 > length * 1.4 or length < 1.0:
            continue
        half = min(reach, length * 0.2)
        for gap, share, left in product((2.2, 4.5), (0.5, 0.35, 0.65, 0.22, 0.78), sides):
            s = length * share
            words = beside(path.point_at(s - half), path.point_at(s + half), name, size, gap=gap, left=left)
            box = text_box(words)
            if area.contains(box) and not lines.intersects(box) and not any(map(box.intersects, taken)):
                return words
    return None
