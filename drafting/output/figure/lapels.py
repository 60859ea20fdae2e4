"""A collar and lapel that turn over a roll line: what lies beyond it, mirrored over it."""

from __future__ import annotations

from drafting.geometry import Path, Point, lerp, mirrored
from drafting.output.figure.ink import area, bend, way
from drafting.output.figure.panels import Line, Panel, Side, edge_named
from drafting.output.figure.uppers import neck_point
from drafting.output.shapes import Shape
from drafting.pattern import Draft, RollLine


def roll_of(draft: Draft, side: Side) -> RollLine | None:
    names = {panel.piece.name for panel in side.panels}
    return next((roll for roll in draft.roll_lines if roll.piece in names), None)


def collar_width(draft: Draft) -> float:
    """Of a collar at the centre back, mm; 0 where the draft does not say."""
    return next((f.garment for f in draft.finished if f.name.startswith("collar width")), 0.0)


def grown_stand(draft: Draft) -> float:
    """How high a grown-on collar stands at the back: two fifths of its width (common practice, no source)."""
    return collar_width(draft) * 0.4


def lapel_shapes(side: Side, roll: RollLine, stand: float, sign: float) -> list[Shape]:
    """Collar and lapel of one half, turned over."""
    panel = next(panel for panel in side.panels if panel.piece.name == roll.piece)
    lines = _turned_lines(panel, roll)
    if not lines:
        return []
    neck, break_point, top = neck_point(side), panel.out(roll.start), panel.out(roll.end)
    reach = Point(neck[0] + stand * 1.35, neck[1] - stand * 0.35)
    peak = Point(neck[0] * 0.95, neck[1] + stand * 0.9)
    end = bend(reach, reach + Point(0.0, stand * 0.45), peak + Point(stand * 0.5, 0.0), peak)
    if len(lines) == 3:
        lapel_edge, lapel_top, notch = lines
        tip = notch[-1]
        lapel = (*lapel_edge, *lapel_top, top, break_point)
        collar = (*notch, *_fall(tip, reach, stand), *end, top, lapel_top[-1])
        return [area("body", way(collar, sign)), area("body", way(lapel, sign))]
    edge = tuple(p for p in lines[0] if p[1] < reach[1] - 2.0)
    shawl = (*edge, *_fall(edge[-1], reach, stand), *end, top, break_point)
    return [area("body", way(shawl, sign))]


def _fall(tip: Point, reach: Point, stand: float) -> Line:
    """The collar's outer edge from its front to where it goes round the neck."""
    outward = Point(8.0, 0.0)
    return bend(tip, lerp(tip, reach, 0.4) + outward, reach - Point(0.0, stand * 0.4), reach)


def _turned_lines(panel: Panel, roll: RollLine) -> list[Line]:
    """Lapel edge, lapel top and notch over the roll line; or one line from the break up, without a notch."""
    names = ("lapel edge", "lapel top", "collar notch")
    edges = [edge_named(panel.piece, name) for name in names]
    found = [edge.path for edge in edges if edge is not None]
    if len(found) == 3:
        return [_over_roll(panel, path, roll) for path in found]
    outer = [edge_named(panel.piece, name) for name in roll.outer]
    paths = [edge.path for edge in outer if edge is not None]
    if not paths:
        return []
    line = tuple(p for path in _from(roll.start, paths) for p in _over_roll(panel, path, roll))
    return [line]


def _from(start: Point, paths: list[Path]) -> list[Path]:
    """The paths one after the other, directed away from the break point."""
    found, at = [], start
    while paths:
        nearest = min(paths, key=lambda path: min(_far(at, path.start), _far(at, path.end)))
        paths.remove(nearest)
        found.append(nearest if _far(at, nearest.start) <= _far(at, nearest.end) else nearest.reversed())
        at = found[-1].end
    return found


def _far(a: Point, b: Point) -> float:
    return abs(a[0] - b[0]) + abs(a[1] - b[1])


def _over_roll(panel: Panel, path: Path, roll: RollLine) -> Line:
    return tuple(panel.out(mirrored(p, roll.start, roll.end)) for p in path.flatten(0.6))


def grown_back(neck: Point, centre: float, stand: float) -> list[Shape]:
    """A collar from behind: its fold above the neck seam, its edge below it."""
    if not stand:
        return []
    top = Point(neck[0] * 0.95, neck[1] + stand * 0.9)
    tip = Point(neck[0] + stand * 1.35, neck[1] - stand * 0.35)
    low, high = centre + stand * 0.6 - stand * 1.5, centre + stand + 6.0
    fold = bend(_other(top), Point(-top[0] * 0.5, high), Point(top[0] * 0.5, high), top)
    end = bend(top, top + Point(stand * 0.5, 0.0), tip + Point(0.0, stand * 0.45), tip)
    edge = bend(tip, Point(tip[0] * 0.6, low), Point(-tip[0] * 0.6, low), _other(tip))
    return [area("body", fold, end, edge, tuple(_other(p) for p in end)[::-1])]


def _other(p: Point) -> Point:
    return Point(-p[0], p[1])
