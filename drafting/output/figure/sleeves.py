"""Sleeves, hanging from the armhole at an angle, with the sleeve's own lengths and widths."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin

from drafting.geometry import Point, distance, lerp, unit
from drafting.output.figure.ink import area, bend, over, stroke
from drafting.output.figure.panels import Line, Side, edge_named, piece_named
from drafting.output.figure.uppers import shoulder_tip, underarm
from drafting.output.shapes import Shape
from drafting.pattern import Draft, Method, Piece

_LONG_DEG, _SHORT_DEG = 22.0, 30.0  # from the upright; a short sleeve stands out (drawing only)
_SHORT = 160.0  # mm of underarm seam
_ROUND = 0.34  # of the way over the shoulder: how round it is (drawing only)
_FULL = 1.12  # cap over armhole from which on it is drawn gathered


@dataclass(frozen=True, slots=True)
class Arm:
    """Sizes of a sleeve, mm: flat widths are half of what goes round the arm."""

    seam: float  # underarm seam
    width: float  # flat, under the arm
    hem: float  # flat, as drawn at the end
    end: float  # flat, of the cuff or band; 0 without
    cuff: float  # its depth
    turned: float  # hem allowance
    gathered_cap: bool
    gathered_end: bool


def arm_of(draft: Draft) -> Arm | None:
    """The sleeve of a draft; None where it has none that is known."""
    piece = piece_named(draft, "sleeve", "upper sleeve", "flounce sleeve")
    seam = _underarm_seam(piece)
    cap = edge_named(piece, "cap")
    if piece is None or seam is None or cap is None:
        return None
    hem = sum(e.length for e in piece.edges if e.name.startswith(("hem", "end")))
    cuff = piece_named(draft, "cuff", "sleeve band")
    band = edge_named(cuff, "seam")
    end = band.length / 2 if band else 0.0
    elastic = _elastic(draft)
    turned = next((e.allowance for e in piece.edges if e.name.startswith("hem")), 0.0)
    narrow = end or elastic or hem / 2
    ends = [cap.path.start, cap.path.end]
    return Arm(
        seam,
        abs(ends[0].x - ends[1].x) / 2,
        hem / 2,
        narrow if narrow < hem / 2 - 1.0 else end,
        _cuff_depth(cuff),
        turned,
        _ratio(draft, piece, "cap") > _FULL,
        narrow < 0.92 * hem / 2,
    )


def _underarm_seam(piece: Piece | None) -> float | None:
    """Length of the front underarm, which no dart parts."""
    edges = piece.edges if piece else ()
    return sum(edge.length for edge in edges if edge.name.startswith("underarm front")) or None


def _cuff_depth(cuff: Piece | None) -> float:
    """A cuff is folded along its outer edge: half its height shows."""
    if cuff is None:
        return 0.0
    ys = [p[1] for p in cuff.outline(1.0)]
    return (max(ys) - min(ys)) / 2


def _elastic(draft: Draft) -> float:
    """Half the length of an elastic in the sleeve's hem, mm; 0 without."""
    needs = [need for need in draft.notions if need.kind == "elastic" and "sleeve" in need.remark]
    return needs[0].size_mm / 2 if needs and needs[0].size_mm else 0.0


def _ratio(draft: Draft, piece: Piece, edge: str) -> float:
    """An edge's length over that of what it is sewn to."""
    for seam in draft.seams:
        if any(ref.piece == piece.name and ref.edge == edge for ref in seam.a) and (
            seam.method in (Method.GATHERED, Method.EASED, Method.PLAIN)
        ):
            other = draft.side_length(seam.b)
            return draft.side_length(seam.a) / other if other else 1.0
    return 1.0


def sleeve_shapes(arm: Arm, side: Side) -> tuple[list[Shape], Point]:
    """Both sleeves, to be drawn before the body that lies over them; and how far they reach out and down."""
    tip, under = shoulder_tip(side), underarm(side)
    lean = radians(_SHORT_DEG if arm.seam < _SHORT else _LONG_DEG)
    down, out = Point(sin(lean), -cos(lean)), Point(cos(lean), sin(lean))
    # A wide sleeve falls in folds under a shallow armhole: it is not drawn wider than that is deep.
    width = min(arm.width, 1.02 * distance(tip, under)) if not arm.gathered_cap else arm.width
    upper_end = under + out * width
    inner_hem = under + down * arm.seam + out * max(width - arm.hem, 0.0) * 0.5
    outer_hem = inner_hem + out * min(arm.hem, arm.hem * width / arm.width + 20.0)
    crown = _crown(tip, upper_end, outer_hem, arm)
    hem = bend(outer_hem, outer_hem + down * 7.0, inner_hem + down * 7.0, inner_hem)
    inner = bend(inner_hem, lerp(inner_hem, under, 0.4), lerp(inner_hem, under, 0.8), under)
    outline = (*crown, *hem, *inner, *_armhole(side, under))
    lines = [("fine", tuple(p - down * arm.turned for p in hem))] if arm.turned > 8.0 else []
    if arm.gathered_cap:
        lines += _ticks(crown[: len(crown) // 2], -out * 30.0 + down * 18.0)
    shapes = [area("body", half) for half in (over(outline), outline)]
    if arm.end and arm.cuff:
        shapes += _cuff(arm, (inner_hem, outer_hem), down, out)
    if arm.gathered_end:
        lines += _ticks(hem, -down * 38.0)
    shapes += [stroke(style, half) for style, line in lines for half in (line, over(line))]
    return shapes, Point(max(p[0] for p in outline) + arm.cuff, min(p[1] for p in outline) - arm.cuff)


def _armhole(side: Side, under: Point) -> Line:
    """From the underarm up the armhole, which the body lies over."""
    points: list[Point] = []
    at, lines = under, side.lines("armhole")
    while lines:
        nearest = min(lines, key=lambda line: min(distance(at, line[0]), distance(at, line[-1])))
        lines.remove(nearest)
        points += nearest if distance(at, nearest[0]) <= distance(at, nearest[-1]) else nearest[::-1]
        at = points[-1]
    return tuple(points)


def _crown(tip: Point, upper_end: Point, outer_hem: Point, arm: Arm) -> Line:
    """From the shoulder over the cap down the outside of the sleeve."""
    rise = Point(arm.width * 0.22, arm.width * 0.26) if arm.gathered_cap else Point(0.0, 0.0)
    along = upper_end - tip
    before = upper_end - unit(outer_hem - upper_end) * (_ROUND * distance(tip, upper_end)) + rise * 0.6
    cap = bend(tip, tip + Point(along[0] * 0.5, along[1] * 0.18) + rise, before, upper_end)
    bulge = (outer_hem - upper_end) * 0.5
    return (*cap, *bend(upper_end, upper_end + bulge * 0.6, outer_hem - bulge * 0.8, outer_hem)[1:])


def _cuff(arm: Arm, hem: tuple[Point, Point], down: Point, out: Point) -> list[Shape]:
    """The cuff below the sleeve's end, narrower than it."""
    middle = lerp(*hem, 0.5)
    a, b = middle - out * (arm.end / 2), middle + out * (arm.end / 2)
    ring = (a, b, b + down * arm.cuff, a + down * arm.cuff)
    return [area("body", over(ring)), area("body", ring)]


def _ticks(line: Line, reach: Point) -> list[tuple[str, Line]]:
    """Short folds that leave a gathered line."""
    count = 6
    found: list[tuple[str, Line]] = []
    for k in range(1, count):
        p = line[min(len(line) - 1, round(k * (len(line) - 1) / count))]
        found.append(("fold", (p, p + reach * (0.7 + 0.3 * (k % 2)))))
    return found
