"""Skirts as they hang: gathered, pleated, flared into folds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import degrees, exp, radians, tan

from drafting.geometry import Point
from drafting.output.figure.ink import area, bend, both, over
from drafting.output.figure.panels import Line, Panel, Side
from drafting.output.shapes import Shape
from drafting.pattern import Draft, EdgeKind, Method, Piece, PleatRun

_MOST_LEAN = 38.0  # degrees to which much flare tends as it hangs (drawing only)


@dataclass(frozen=True, slots=True)
class Hanging:
    """Half a skirt as it hangs, mm: ``waist`` finished, ``hem`` as drawn; ``folds`` shares across it.

    ``drop``: how far its upper edge lies higher (or lower) at the side than at the centre.
    """

    waist: float
    hip: float
    hip_down: float
    hem: float
    length: float
    folds: tuple[float, ...]
    seams: tuple[float, ...]
    soft: bool  # folds are soft: drawn part of the way
    wavy: int  # waves of the hem
    drop: float = 0.0


def hanging(draft: Draft, pieces: list[Piece], raised: Side, waist: float) -> Hanging:
    """Return half a side as it hangs; ``waist``: its finished width, 0 where nothing is above it."""
    count = {piece.name: _times(piece) for piece in pieces}
    cloth_top = sum(edge_length(p, "waist") * count[p.name] for p in pieces)
    hem = sum(edge_length(p, "hem") * count[p.name] for p in pieces)
    length = _centre_length(raised.panels[0])
    runs, folded = _pleats_of(draft, pieces), folded_away(draft, pieces)
    finished = waist or _sewn_to(draft, pieces) or cloth_top - folded
    full = cloth_top / finished if finished and not runs else 1.0
    hip, hip_down = _hip(draft, finished, length)
    flare = degrees(max(hem - cloth_top, 0.0) / max(length, 1.0))
    lean = _MOST_LEAN * (1 - exp(-flare / 32.0)) + min(max(full - 1.0, 0.0), 2.0) * 7.0
    spread = finished + length * tan(radians(lean))
    if runs:
        spread = max((hem - folded) * 1.1, hip * 1.06)
    least = hip if length > hip_down else finished
    soft = not runs
    folds = tuple(_pleat_shares(runs[0])) if runs else _soft_folds(full, flare)
    if len(pieces) > 1 and full < 1.05:
        folds = ()  # the seams of the gores show how it falls
    return Hanging(
        finished, max(hip if full < 1.05 else finished * 1.12, finished), hip_down,
        max(spread, least), length, folds, _gore_seams(pieces, count), soft, _waves(flare, full),
    )  # fmt: skip


def _times(piece: Piece) -> float:
    """How often a piece lies in half a side; what front and back share is cut for all four halves."""
    if {"front", "back"} & set(piece.name.split()):
        return 1.0
    total = sum(cut.count * (2 if cut.on_fold else 1) for cut in piece.cuts if cut.cloth == "shell")
    return max(total / 4, 0.5)


def _centre_length(panel: Panel) -> float:
    """From the waist to the hem where the panel is nearest to the centre, mm."""
    near = min(p[0] for p in panel.ring if p[0] > -0.5)
    heights = [p[1] for p in panel.ring if p[0] < near + 2.0]
    return max(heights) - min(heights)


def _sewn_to(draft: Draft, pieces: list[Piece]) -> float:
    """Length of what the waist edges are sewn to, mm."""
    names = {piece.name for piece in pieces}
    for seam in draft.seams:
        if seam.method is not Method.DART and all(
            ref.piece in names and ref.edge.startswith("waist") for ref in seam.a
        ):
            other = draft.side_length(seam.b)
            if other:
                return other
    return 0.0


def _pleats_of(draft: Draft, pieces: list[Piece]) -> list[PleatRun]:
    """The runs of pleats in these pieces."""
    names = {piece.name for piece in pieces}
    return [run for run in draft.pleats if run.piece in names]


def folded_away(draft: Draft, pieces: list[Piece]) -> float:
    """Cloth that lies hidden under the pleats of these pieces, mm."""
    return sum(sum(run.underlays) for run in _pleats_of(draft, pieces))


def fullness(draft: Draft, pieces: list[Piece]) -> float:
    """Cloth at the waist, pleats folded, over what it is sewn to."""
    sewn = _sewn_to(draft, pieces)
    cloth = sum(edge_length(piece, "waist") for piece in pieces) - folded_away(draft, pieces)
    return cloth / sewn if sewn else 1.0


def _hip(draft: Draft, waist: float, length: float) -> tuple[float, float]:
    level = next((level for level in draft.levels if level.name == "hip"), None)
    girth = (level.body + level.ease) / 4 if level else draft.body["hip_girth"] / 4
    return max(girth, waist), min(draft.body["waist_to_hip"], length * 0.6)


def _pleat_shares(run: PleatRun) -> Iterator[float]:
    """Where folds show across the half, 0 at the centre and 1 at the side: one for each underlay."""
    count = max(len(run.underlays) // (2 if run.kind == "box" else 1), 1)
    spread = {"knife": 0.0, "box": 0.28 / count}.get(run.kind, 0.034 / count)
    part = min(run.pitch * count / run.finished_width, 1.0) if run.finished_width else 1.0
    for k in range(count):
        middle = (k + 0.5) / count
        shares = (middle - spread, middle + spread) if spread else (middle,)
        yield from (part * share for share in shares)


def _soft_folds(full: float, flare: float) -> tuple[float, ...]:
    count = 0 if full < 1.05 and flare < 16.0 else min(7, 3 + round(2.0 * (full - 1) + flare / 40.0))
    return tuple((k + 0.5) / count for k in range(count))


def _waves(flare: float, full: float) -> int:
    return 0 if flare < 30.0 and full < 1.3 else 3 + round(min(flare, 120.0) / 30.0)


def _gore_seams(pieces: list[Piece], count: dict[str, float]) -> tuple[float, ...]:
    """Where seams between gores lie, as shares of the half."""
    if len(pieces) < 2:
        return ()
    widths = [edge_length(piece, "hem") * count[piece.name] for piece in pieces]
    total, at, found = sum(widths), 0.0, []
    for width in widths[:-1]:
        at += width
        found.append(at / total)
    return tuple(found)


def tier_of(piece: Piece, above: float) -> Hanging:
    """A tier that is gathered into one ``above`` mm wide on its half."""
    ys = [p[1] for p in piece.outline(1.0)]
    length = max(ys) - min(ys)
    hem = above + length * tan(radians(7.0))
    return Hanging(
        above, above + (hem - above) * 0.5, length / 2, hem, length, _soft_folds(2.0, 0.0), (), True, 5
    )


def hung_shapes(hung: Hanging, top: float) -> list[Shape]:
    side = _side(hung, top)
    hem = _hem(hung, top)
    middle = Point(0.0, top)
    shapes = [area("cloth", (middle,), side, hem[::-1], over(hem), over(side)[::-1])]
    shapes += both("edge", [side, hem])
    if not hung.drop:
        shapes += both("seam", [(middle, side[0])])
    for share in hung.seams:
        shapes += both("seam", [_fold(hung, share, top, 1.0)])
    for k, share in enumerate(hung.folds):
        if not hung.soft:
            shapes += both("seam", [_fold(hung, share, top, 1.0)])
            continue
        shapes += both("fold", [_fold(hung, share, top, 0.34 + 0.12 * (k % 3))])
        if hung.wavy:
            shapes += both("fold", [_fold(hung, share, top, -0.3 - 0.15 * ((k + 1) % 3))])
    return shapes


def _side(hung: Hanging, top: float) -> Line:
    """From the waist over the hip down to the hem."""
    waist, hip = Point(hung.waist, top + hung.drop), Point(hung.hip, top - hung.hip_down)
    hem = Point(hung.hem, top - hung.length)
    slope = (hem.x - hip.x) / max(hung.length - hung.hip_down, 1.0)
    if slope * hung.hip_down > hip.x - waist.x:
        # More flare below the hip than above it: one line from the waist.
        return bend(waist, Point(waist.x + (hem.x - waist.x) * 0.3, top - hung.length * 0.28),
                    Point(hem.x - (hem.x - waist.x) * 0.3, top - hung.length * 0.68), hem)  # fmt: skip
    handle = hung.hip_down * 0.45
    curved = bend(
        waist,
        Point(waist.x + (hip.x - waist.x) * 0.45, top - hung.hip_down * 0.33),
        Point(hip.x - slope * handle, hip.y + handle),
        hip,
    )
    return (*curved, hem)


def _hem(hung: Hanging, top: float) -> Line:
    """From the centre to the side: a little lower at the centre, in waves where it is wide."""
    y, dip = top - hung.length, 14.0
    if not hung.wavy:
        return bend(
            Point(0.0, y - dip),
            Point(hung.hem * 0.35, y - dip),
            Point(hung.hem * 0.6, y - dip),
            Point(hung.hem, y),
        )
    step = hung.hem / hung.wavy
    points: list[Point] = []
    for k in range(hung.wavy):
        a, b = k * step, (k + 1) * step
        ya, yb = (y - dip * (1 - (x / hung.hem) ** 2) for x in (a, b))
        deep = -10.0 if k % 2 else 8.0
        points += bend(
            Point(a, ya), Point(a + step * 0.3, ya + deep), Point(b - step * 0.3, yb + deep), Point(b, yb)
        )
    return tuple(points)


def _fold(hung: Hanging, share: float, top: float, reach: float) -> Line:
    """A fold at a share of the half: from the waist downward, or from the hem upward where it is negative."""
    side = _side(hung, top)
    y = top - hung.length - 10.5 * (1 - share * share)
    points = [Point(p[0] * share, min(p[1], top)) for p in side[:-1]] + [Point(side[-1][0] * share, y)]
    if len(points) > 2 and abs(reach) < 1.0:
        low, high = top - hung.length * abs(reach), top - hung.length * (1 - abs(reach))
        points = _clipped(points, low, top) if reach > 0 else _clipped(points, y, high)
    return tuple(points)


def _clipped(points: list[Point], low: float, high: float) -> list[Point]:
    """The part of a falling line between two heights."""
    found: list[Point] = []
    for a, b in pairwise(points):
        if b[1] > high or a[1] < low or a[1] - b[1] < 1e-9:
            continue
        t0 = max((a[1] - high) / (a[1] - b[1]), 0.0)
        t1 = min((a[1] - low) / (a[1] - b[1]), 1.0)
        found += [a + (b - a) * t0, a + (b - a) * t1]
    return found or points[:2]


def edge_length(piece: Piece, name: str) -> float:
    """Of all edges whose name begins so, darts and the stand of buttons left out, mm."""
    return sum(
        e.length
        for e in piece.edges
        if e.name.startswith(name) and "extension" not in e.name and e.kind is not EdgeKind.DART
    )
