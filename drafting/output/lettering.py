"""Where a piece's label goes: inside the piece, clear of its lines, as large as it can be read.

The search works in pattern coordinates (y up); only the finished words are in paper coordinates.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, degrees, pi, radians, sin

import shapely
from shapely import Polygon
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from drafting.output.shapes import Words, text_width

_LEADING = 1.38
_GRID = 17
_SHRINK = 0.82
_LEVEL_WORTH = 0.6
SMALLEST = 2.6
"""Smallest size of a name, mm; its x-height is then 1.4 mm, as in a footnote."""
_SMALLEST_LINE = 2.1


@dataclass(frozen=True, slots=True)
class BlockLine:
    """A line of a label; ``scale`` is its size beside the block's."""

    text: str
    scale: float = 1.0
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """The centre of a block, mm, and how it is turned, degrees counter-clockwise."""

    x: float
    y: float
    angle: float


def place_block(
    lines: Sequence[BlockLine], area: BaseGeometry, obstacles: Sequence[BaseGeometry], largest: float
) -> tuple[Words, ...]:
    """Return the words of a block in the largest size that fits ``area`` clear of the obstacles.

    ``obstacles`` are areas in falling order of importance: where no size fits clear of all of them, the last
    is given up, then the one before it. Where the block does not fit at all, its last lines are left out; in
    the end its first line stands at the middle of the area in the smallest size.
    """
    for count in range(len(lines), 0, -1):
        for kept in range(len(obstacles), -1, -1):
            taken = [obstacle for obstacle in obstacles[:kept] if not obstacle.is_empty]
            room = area.difference(shapely.union_all(taken)) if taken else area
            found = _largest_fit(lines[:count], room, largest)
            if found is not None:
                return _set(lines[:count], *found)
    middle = area.representative_point()
    return _set(lines[:1], SMALLEST, Spot(middle.x, middle.y, 0.0))


def _size(line: BlockLine, size: float) -> float:
    """A line's own size: the small lines of a small block are not made smaller than can be read."""
    return max(size * line.scale, _SMALLEST_LINE)


def _largest_fit(lines: Sequence[BlockLine], room: BaseGeometry, largest: float) -> tuple[float, Spot] | None:
    """The largest size and its spot. Level words are kept unless turned ones are much larger."""
    best: tuple[float, Spot] | None = None
    for angle in _angles(room):
        turned = rotate(room, -angle, origin=(0, 0))
        size = largest
        while size >= SMALLEST and (best is None or size * _LEVEL_WORTH > best[0]):
            centre = _centre_of_box(turned, *_extent(lines, size))
            if centre is not None:
                best = size, _turned_back(centre, angle)
                break
            size *= _SHRINK
    return best


def _turned_back(centre: tuple[float, float], angle: float) -> Spot:
    turn = radians(angle)
    x, y = centre
    return Spot(x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn), angle)


def _extent(lines: Sequence[BlockLine], size: float) -> tuple[float, float]:
    width = max(text_width(line.text, _size(line, size), bold=line.bold) for line in lines)
    return width + size * 0.6, sum(_size(line, size) for line in lines) * _LEADING


def _set(lines: Sequence[BlockLine], size: float, spot: Spot) -> tuple[Words, ...]:
    height = _extent(lines, size)[1]
    turn = radians(spot.angle)
    words = []
    down = -height / 2
    for line in lines:
        step = _size(line, size) * _LEADING
        # The baseline stands three quarters down its line.
        offset = down + step * 0.74
        words.append(
            Words(
                x=spot.x + offset * sin(turn),
                y=-(spot.y - offset * cos(turn)),
                size=_size(line, size),
                text=line.text,
                angle=-spot.angle,
                bold=line.bold,
            )
        )
        down += step
    return tuple(words)


def _centre_of_box(room: BaseGeometry, width: float, height: float) -> tuple[float, float] | None:
    """The box centre nearest to the middle of the room at which the box lies inside the room."""
    if room.area < width * height:
        return None
    left, bottom, right, top = room.bounds
    if right - left <= width or top - bottom <= height:
        return None
    middle = room.centroid
    xs = [left + width / 2 + (right - left - width) * i / (_GRID - 1) for i in range(_GRID)]
    ys = [bottom + height / 2 + (top - bottom - height) * i / (_GRID - 1) for i in range(_GRID)]
    centres = sorted(
        ((x, y) for x in [*xs, middle.x] for y in [*ys, middle.y]),
        key=lambda c: (round((c[0] - middle.x) ** 2 + (c[1] - middle.y) ** 2, 3), c),
    )
    shapely.prepare(room)
    boxes = shapely.box(
        [c[0] - width / 2 for c in centres],
        [c[1] - height / 2 for c in centres],
        [c[0] + width / 2 for c in centres],
        [c[1] + height / 2 for c in centres],
    )
    inside = shapely.contains(room, boxes).tolist()
    return next((centre for centre, fits in zip(centres, inside, strict=True) if fits), None)


def _angles(room: BaseGeometry) -> tuple[float, ...]:
    """Level, upright, and along the room's long side where that is neither."""
    box = room.minimum_rotated_rectangle
    if not isinstance(box, Polygon):
        return (0.0, 90.0)
    corners = list(box.exterior.coords)
    sides = [(corners[i + 1][0] - corners[i][0], corners[i + 1][1] - corners[i][1]) for i in range(2)]
    dx, dy = max(sides, key=lambda side: side[0] ** 2 + side[1] ** 2)
    along = readable(degrees(atan2(dy, dx)))
    skew = min(abs(along), abs(abs(along) - 90.0))
    return (0.0, 90.0) if skew < 5.0 else (0.0, 90.0, round(along, 1))


def readable(angle: float) -> float:
    """The angle, degrees, or its opposite: in (-90, 90], so that no text stands on its head."""
    turned = (angle + 180.0) % 360.0 - 180.0
    if turned > 90.0 + 1e-6:
        return turned - 180.0
    if turned <= -90.0 + 1e-6:
        return turned + 180.0
    return turned


def text_box(words: Words) -> Polygon:
    """The area that a line of words covers, in pattern coordinates (y up)."""
    shift = {"start": 0.0, "middle": -words.width / 2, "end": -words.width}[words.anchor]
    turn = -words.angle * pi / 180
    corners = []
    for along, up in ((0.0, -0.25), (words.width, -0.25), (words.width, 0.8), (0.0, 0.8)):
        x, y = shift + along, up * words.size
        corners.append(
            (words.x + x * cos(turn) - y * sin(turn), -words.y + x * sin(turn) + y * cos(turn)),
        )
    return Polygon(corners)
