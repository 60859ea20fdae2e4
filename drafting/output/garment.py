"""The finished garment as a flat drawing, front and back, from the draft's own lines and numbers.

Coordinates as in the draft: y up from the waist, the wearer's right half left of x = 0 as one looks at her
from the front. Darts are drawn closed, pleats folded: widths at waist and hip are the levels' girths over
four.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from drafting.geometry import Path, Point, lerp
from drafting.output.drawing import ring_of
from drafting.output.shapes import Drawing, Shape, Words, at, number, path_data, svg_body
from drafting.pattern import Dart, Draft, Edge, MarkKind, Piece, PleatRun

GARMENT_STYLE = """
.garment path{fill:none;stroke:#222;stroke-width:3;stroke-linejoin:round;stroke-linecap:round}
.garment .body{fill:#fffdf8;stroke-width:5}
.garment .inside{fill:#e7e2d8;stroke-width:3}
.garment .seam{stroke-width:3}
.garment .fine{stroke-width:2;stroke-dasharray:9 7}
.garment .button{fill:#fffdf8;stroke-width:3}
.garment .t{font-family:DejaVu Sans,Verdana,sans-serif;fill:#444;stroke:none}
.garment{max-width:100%;height:auto}
@media screen{.garment path{vector-effect:non-scaling-stroke}
.garment .body{stroke-width:1.8px}.garment .inside,.garment .seam,.garment .button{stroke-width:1.1px}
.garment .fine{stroke-width:1px;stroke-dasharray:4 3}}
""".strip()

_GAP = 160.0
_FLARE = 1.12
"""How far a hanging pleated hem spreads beyond its folded width (for the drawing; no source)."""

_HANG = 1.08
"""Least width of a hanging pleated hem beside the hip (drawing only; common practice, no source)."""


@dataclass(frozen=True, slots=True)
class _Half:
    """Half of the garment on one side: bodice and skirt pieces and the widths of the closed garment, mm."""

    bodice: Piece
    skirt: Piece | None
    run: PleatRun | None
    darts: tuple[Dart, ...]
    waist: float
    hip: float
    hip_down: float
    length: float
    hem: float
    side: float
    """-1 where the piece lies left of x = 0, 1 where it lies right of it."""


def garment_svg(draft: Draft) -> str:
    """Return the finished garment, front and back side by side, as an SVG picture 110 mm high.

    A draft without a front and a back bodice has no such drawing: the picture then says so in words.
    """
    front, back = _half(draft, "front bodice"), _half(draft, "back bodice")
    if front is None or back is None:
        words = Words(250.0, 60.0, 24.0, "There is no drawing of this garment.")
        return _picture(Drawing(words=(words,)), draft, (0.0, 0.0, 500.0, 120.0))
    half = max(front.hem, back.hem, front.hip, back.hip) + 20.0
    shift = 2 * half + _GAP
    views = front_view(draft, front) + _shifted(back_view(draft, back), shift)
    top = max(edge_top(front.bodice), edge_top(back.bodice)) + 60.0
    foot = front.length + 90.0
    names = (
        Words(0.0, front.length + 62.0, 30.0, "front"),
        Words(shift, front.length + 62.0, 30.0, "back"),
    )
    return _picture(views + Drawing(words=names), draft, (-half, -top, 2 * half + shift, top + foot))


def edge_top(piece: Piece) -> float:
    """The highest shoulder point of a bodice, mm above its waist."""
    shoulder = _edge(piece, "shoulder")
    return max(shoulder.path.start.y, shoulder.path.end.y) if shoulder else 400.0


def _half(draft: Draft, name: str) -> _Half | None:
    bodice = next((piece for piece in draft.pieces if piece.name == name), None)
    if bodice is None or any(_edge(bodice, edge) is None for edge in ("shoulder", "armhole")):
        return None
    skirt = next((p for p in draft.pieces if p.name == name.replace("bodice", "skirt")), None)
    skirt = skirt or next((p for p in draft.pieces if p.name == "skirt " + name.split(maxsplit=1)[0]), None)
    runs = [run for run in draft.pleats if skirt and run.piece == skirt.name]
    girths = {level.name: (level.body + level.ease) / 4 for level in draft.levels}
    waist = girths.get("waist", 180.0)
    hip = max(girths.get("hip", waist * 1.3), waist)
    length = _skirt_length(skirt)
    hem = _edge(skirt, "hem") if skirt else None
    folded = (hem.length - sum(sum(run.underlays) for run in runs)) if hem else waist
    darts = tuple(dart for dart in draft.darts if dart.piece == name)
    shoulder = bodice.edge("shoulder").path
    return _Half(
        bodice,
        skirt,
        runs[0] if runs else None,
        darts,
        waist,
        hip,
        min(_hip_down(skirt), length * 0.6),
        length,
        max(folded * (_FLARE if runs else 1.0), hip * (_HANG if runs else 0.95)),
        -1.0 if shoulder.point_at(shoulder.length / 2).x < 0 else 1.0,
    )


def _edge(piece: Piece | None, name: str) -> Edge | None:
    return next((edge for edge in piece.edges if edge.name == name), None) if piece else None


def _skirt_length(skirt: Piece | None) -> float:
    if skirt is None:
        return 0.0
    ys = [point.y for point in skirt.outline(1.0)]
    return max(ys) - min(ys)


def _hip_down(skirt: Piece | None) -> float:
    """How far the hip line lies below the waist, mm; 200 where it is not marked."""
    if skirt is None:
        return 200.0
    mark = next((mark for mark in skirt.marks if mark.name == "hip line"), None)
    top = max(point.y for point in skirt.outline(1.0))
    return top - mark.path.start.y if mark else 200.0


# One side of the body


def _from_neck(half: _Half) -> Path:
    """From the neck point over the shoulder and the armhole to the underarm."""
    shoulder, armhole = half.bodice.edge("shoulder").path, half.bodice.edge("armhole").path
    # A front runs neck, shoulder, armhole; a back the other way round.
    if half.bodice.edges.index(half.bodice.edge("shoulder")) < half.bodice.edges.index(
        half.bodice.edge("armhole")
    ):
        return shoulder.joined(armhole)
    return shoulder.reversed().joined(armhole.reversed())


def _side(half: _Half, start: Point) -> Path:
    """The side seam from the underarm to the waist, darts closed."""
    waist = Point(half.side * half.waist, 0.0)
    inward = Point(waist.x + (start.x - waist.x) * 0.12, start.y * 0.38)
    return Path.cubic(start, lerp(start, Point(start.x, 0.0), 0.3), inward, waist)


def _skirt_side(half: _Half) -> Path:
    """The side of the hanging skirt: over the hip and down to the hem."""
    s = half.side
    waist = Point(s * half.waist, 0.0)
    hip = Point(s * half.hip, -half.hip_down)
    hem = Point(s * half.hem, -half.length)
    slope = (hem.x - hip.x) / max(half.length - half.hip_down, 1.0)
    handle = half.hip_down * 0.45
    curve = Path.cubic(
        waist,
        Point(waist.x + (hip.x - waist.x) * 0.45, -half.hip_down * 0.33),
        Point(hip.x - slope * handle, hip.y + handle),
        hip,
    )
    return curve.joined(Path.line(hip, hem))


def _mirrored(path: Path) -> Path:
    return path.mirrored(Point(0.0, 0.0), Point(0.0, 1.0))


def _filled(style: str, *paths: Path) -> Shape:
    """A closed area whose outline is the paths, joined by straight lines."""
    first, *rest = paths
    data = path_data(first)
    for path in rest:
        data += f"L{at(path.start)}" + path_data(path, joined=True)
    return Shape(style, data + "Z")


def _both(style: str, path: Path) -> list[Shape]:
    return [Shape(style, path_data(path)), Shape(style, path_data(_mirrored(path)))]


def _dart_lines(half: _Half) -> list[Shape]:
    """Closed darts: an upright one at its distance along the waist, a side one from the side seam."""
    shapes = []
    for dart in half.darts:
        legs = (dart.start, dart.end)
        if abs(dart.start.x - dart.end.x) > abs(dart.start.y - dart.end.y):
            x = half.side * _along_waist(half, min(abs(dart.start.x), abs(dart.end.x)))
            shapes += _both("seam", Path.line(Point(x, 0.0), Point(dart.apex.x, dart.apex.y)))
        else:
            low = min(legs, key=lambda p: p.y)
            underarm = _from_neck(half).end
            side = _side(half, underarm)
            level = next((p for p in side.flatten(0.5) if p.y <= low.y), side.end)
            shapes += _both("seam", Path.line(level, dart.apex))
    return shapes


def _along_waist(half: _Half, x: float) -> float:
    """How far from the centre, along the closed waist, a dart is whose inner leg is ``x`` from the centre."""
    takes = sum(
        abs(dart.start.x - dart.end.x) for dart in half.darts if max(abs(dart.start.x), abs(dart.end.x)) < x
    )
    return min(x - takes, half.waist * 0.9)


def _skirt_area(half: _Half) -> list[Shape]:
    """The skirt with its hem, and its folds: each a line from waist to hem that ends in a small step."""
    if _edge(half.skirt, "hem") is None or half.skirt is None:
        return []
    side = _skirt_side(half)
    dip = Point(0.0, -half.length - 14.0)
    hem = Path.cubic(
        side.end, Point(side.end.x * 0.6, dip.y), Point(-side.end.x * 0.6, dip.y), _mirrored(side).end
    )
    shapes = [_filled("body", side.joined(hem), _mirrored(side).reversed())]
    for share in _fold_shares(half.run):
        shapes += _both("seam", _fold_line(half, share))
    turned = half.skirt.edge("hem").allowance
    level = Point(side.end.x * 0.995, turned - half.length)
    low = Point(level.x * 0.6, level.y - 14.0)
    shapes.append(Shape("fine", path_data(Path.cubic(level, low, _over(low), _over(level)))))
    return shapes


def _fold_shares(run: PleatRun | None) -> list[float]:
    """Where folds show across the half, 0 at the centre and 1 at the side."""
    if run is None or not run.underlays:
        return []
    count = len(run.underlays)
    middles = [(i + 0.5) / count for i in range(count)]
    if run.kind == "knife":
        return middles
    spread = 0.28 / count
    if run.kind == "box":
        return [share + sign * spread for share in middles for sign in (-1, 1)]
    return [share + sign * spread * 0.12 for share in middles for sign in (-1, 1)]


def _fold_line(half: _Half, share: float) -> Path:
    s = half.side
    waist = Point(s * half.waist * share, 0.0)
    hip = Point(s * half.hip * share, -half.hip_down)
    # The hem dips towards the centre, as the drawn hem line does.
    hem = Point(s * half.hem * share, -half.length - 10.5 * (1 - share * share))
    lean = (hem.x - hip.x) / max(half.length - half.hip_down, 1.0) * half.hip_down * 0.4
    return Path.cubic(
        waist, Point(waist.x, -half.hip_down * 0.4), Point(hip.x - lean, -half.hip_down * 0.6), hip
    ).joined(Path.line(hip, hem))


# Front


def front_view(draft: Draft, half: _Half) -> Drawing:
    """The front: the wearer's right front over the left, lapels and collar turned over their roll line."""
    roll = next((r for r in draft.roll_lines if r.piece == half.bodice.name), None)
    over = _from_neck(half)
    neck = over.start
    body_side = over.joined(_side(half, over.end))
    edge = _front_edge(half, roll.start if roll else None)
    neck_line = Path.line(edge.end, neck)
    right = _filled("body", neck_line.joined(body_side), edge)
    left = _filled("body", _mirrored(neck_line.joined(body_side)), _mirrored(edge))
    stand = _stand(draft)
    shapes = [*_skirt_area(half), _neck_inside(neck, stand, edge.end.y), left]
    left_lapel = _lapel(draft, half, stand)
    shapes += [_flip(shape) for shape in left_lapel] if left_lapel else []
    shapes.append(right)
    shapes += _dart_lines(half)
    shapes += [_shape(area) for area in left_lapel]
    shapes += _buttons(half)
    return Drawing(tuple(shapes))


def _front_edge(half: _Half, break_point: Point | None) -> Path:
    """From the waist up the front edge to the break point, or to the neck where there is no lapel."""
    if break_point is not None:
        return Path.line(Point(break_point.x, 0.0), break_point)
    neck = _edge(half.bodice, "neck")
    top = min(neck.path.start, neck.path.end, key=lambda p: abs(p.x)) if neck else Point(0.0, 300.0)
    return Path.line(Point(0.0, 0.0), Point(0.0, top.y))


def _stand(draft: Draft) -> float:
    """How high the collar stands at the centre back: two fifths of its width (common practice, no source)."""
    width = next((f.garment for f in draft.finished if f.name.startswith("collar width")), 0.0)
    return width * 0.4


def _neck_inside(neck: Point, stand: float, lowest: float) -> Shape:
    """The inside of the back neck, seen over the front."""
    top = Point(0.0, neck.y + stand * 0.75)
    lift = Point(neck.x * 0.95, neck.y + stand * 0.9)
    back = Path.cubic(lift, Point(lift.x * 0.6, top.y), Point(-lift.x * 0.6, top.y), Point(-lift.x, lift.y))
    low = Point(0.0, lowest)
    return _filled("inside", back, Path.polyline((Point(-neck.x, neck.y), low, neck)))


Area = tuple[str, tuple[Path, ...]]


def _shape(area: Area) -> Shape:
    return _filled(area[0], *area[1])


def _flip(area: Area) -> Shape:
    return _filled(area[0], *(_mirrored(path) for path in area[1]))


def _lapel(draft: Draft, half: _Half, stand: float) -> list[Area]:
    """The turned lapel and collar of the right front: what lies beyond the roll line, mirrored over it."""
    roll = next((r for r in draft.roll_lines if r.piece == half.bodice.name), None)
    names = ("lapel edge", "lapel top", "collar notch")
    edges = [_edge(half.bodice, name) for name in names]
    if roll is None or any(edge is None for edge in edges):
        return []
    turned = [edge.path.mirrored(roll.start, roll.end) for edge in edges if edge is not None]
    lapel_edge, lapel_top, notch = turned
    gorge = lapel_top.end
    neck = half.bodice.edge("shoulder").path
    neck_point = max(neck.start, neck.end, key=lambda p: p.y)
    # Where the collar has passed the shoulder it goes round the neck, out of sight.
    reach = Point(neck_point.x + half.side * (stand * 1.35), neck_point.y - stand * 0.35)
    peak = Point(neck_point.x * 0.95, neck_point.y + stand * 0.9)
    outward = Point(half.side * 8.0, 0.0)
    outer = Path.cubic(
        notch.end, lerp(notch.end, reach, 0.4) + outward, reach - Point(0.0, stand * 0.4), reach
    ).joined(_collar_end(reach, peak, stand, half.side))
    inner = Path.line(peak, roll.end)
    lapel = ("body", (lapel_edge, lapel_top, Path.line(gorge, roll.end), Path.line(roll.end, roll.start)))
    collar = ("body", (notch, outer, inner, Path.line(roll.end, gorge)))
    return [collar, lapel]


def _collar_end(low: Point, high: Point, stand: float, side: float) -> Path:
    """The rounded side of a collar that goes round the neck, from its edge up to its fold."""
    return Path.cubic(low, low + Point(0.0, stand * 0.45), high + Point(side * stand * 0.5, 0.0), high)


def _buttons(half: _Half) -> list[Shape]:
    """Buttons on the centre line where the pieces mark them, and the edge of a skirt that has any."""
    heights = _button_heights(half.bodice, 0.0)
    lower: list[float] = []
    if half.skirt is not None:
        lower = _button_heights(half.skirt, max(point.y for point in half.skirt.outline(1.0)))
    edge = _edge(half.bodice, "front edge")
    shapes = []
    if lower and edge is not None:
        x = edge.path.start.x
        shapes.append(Shape("seam", path_data(Path.line(Point(x, 0.0), Point(x, -half.length - 10.0)))))
    return shapes + [Shape("button", ring_of(Point(0.0, y), 8.0)) for y in (*heights, *lower)]


def _button_heights(piece: Piece, waist: float) -> list[float]:
    marks = [mark.path for mark in piece.marks if mark.kind is MarkKind.BUTTON]
    return [(path.start.y + path.end.y) / 2 - waist for path in marks]


# Back


def back_view(draft: Draft, half: _Half) -> Drawing:
    """The back: darts, the zip in the centre back seam, the collar falling over the neck seam."""
    over = _from_neck(half)
    neck = over.start
    centre = min((point.y for point in half.bodice.edge("neck").path.flatten(0.5)), default=neck.y)
    side = over.joined(_side(half, over.end))
    seam = half.bodice.edge("neck").path
    to_neck = seam if abs(seam.start.x) < abs(seam.end.x) else seam.reversed()
    area = _filled("body", side, _mirrored(side).reversed(), _mirrored(to_neck).reversed(), to_neck)
    shapes = [*_skirt_area(half), area, *_dart_lines(half)]
    zip_need = next((need for need in draft.notions if need.kind == "zip"), None)
    if zip_need is not None and zip_need.size_mm:
        foot = centre - zip_need.size_mm
        shapes.append(Shape("fine", path_data(Path.line(Point(7.0, centre), Point(7.0, foot)))))
        shapes.append(
            Shape("seam", path_data(Path.line(Point(0.0, centre), Point(0.0, -half.length - 10.0))))
        )
        shapes.append(Shape("seam", path_data(Path.line(Point(-5.0, foot), Point(9.0, foot)))))
    shapes += _back_collar(draft, neck, centre, half.side)
    return Drawing(tuple(shapes))


def _back_collar(draft: Draft, neck: Point, centre: float, side: float) -> list[Shape]:
    """The collar from behind: its fold above the neck seam, its edge below it."""
    stand = _stand(draft)
    if not stand:
        return []
    fall = stand * 1.5
    top = Point(neck.x * 0.95, neck.y + stand * 0.9)
    tip = Point(neck.x + side * stand * 1.35, neck.y - stand * 0.35)
    low = centre + stand * 0.6 - fall
    high = centre + stand + 6.0
    fold = Path.cubic(_over(top), Point(-top.x * 0.5, high), Point(top.x * 0.5, high), top)
    end = _collar_end(tip, top, stand, side).reversed()
    edge = Path.cubic(tip, Point(tip.x * 0.6, low), Point(-tip.x * 0.6, low), _over(tip))
    return [_filled("body", fold.joined(end).joined(edge), _mirrored(end).reversed())]


def _over(point: Point) -> Point:
    return Point(-point.x, point.y)


# Paper


def _shifted(drawing: Drawing, dx: float) -> Drawing:
    """The drawing moved to the right, by a group around its shapes' own numbers."""
    return Drawing(tuple(Shape(f"{s.style}|{number(dx)}", s.data) for s in drawing.shapes), drawing.words)


def _element(shape: Shape) -> str:
    style, _, dx = shape.style.partition("|")
    move = f' transform="translate({dx} 0)"' if dx else ""
    return f'<path class="{style}"{move} d="{shape.data}"/>'


def _picture(drawing: Drawing, draft: Draft, box: tuple[float, float, float, float]) -> str:
    x, y, width, height = box
    name = draft.style.replace("-", " ")
    description = "Front and back of the finished garment. " + ", ".join(
        f"{f.name} {f.garment:.0f} mm" for f in draft.finished
    )
    shapes = "".join(map(_element, drawing.shapes))
    words = svg_body(Drawing(words=drawing.words))
    high = 110.0
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="garment" role="img"'
        f' aria-label="{escape(name, quote=True)}"'
        f' width="{number(high * width / height)}mm" height="{number(high)}mm"'
        f' viewBox="{number(x)} {number(y)} {number(width)} {number(height)}">'
        f"<title>{escape(name)}</title><desc>{escape(description)}</desc><style>{GARMENT_STYLE}</style>"
        f"{shapes}{words}</svg>"
    )
