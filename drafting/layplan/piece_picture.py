"""One piece of a lay as it is drawn: its outline, its number, its grain, its name where there is room."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin

import shapely
from shapely import affinity
from shapely.geometry import LineString, Polygon

from drafting.layplan.cloth import Cloth
from drafting.layplan.items import Layer
from drafting.layplan.pen import CHARACTER, Pen
from drafting.layplan.plan import Placed

FILLS = {Layer.SINGLE: "#ffffff", Layer.DOUBLE: "#dfe9f2", Layer.FOLD: "#e9e2f1"}

#: Words on a piece are at most, and at least, so high, in lines of text; smaller ones are left to the key.
NAME_SIZE, LEAST_NAME = 0.75, 0.5

#: A name beside the number may be a little smaller: it stands by itself.
LEAST_BESIDE = 0.42

#: Which ways a name may run beside the number: to the right, down the page, up the page; degrees clockwise.
WAYS = (0.0, 90.0, -90.0)


LAYERS = {Layer.DOUBLE: "double", Layer.FOLD: "on the fold"}


def notes_of(placed: Placed, cloth: Cloth) -> tuple[str, ...]:
    """What to mind when cutting a piece, beyond one layer face up on open cloth."""
    if placed.layer is not Layer.SINGLE:
        return (LAYERS[placed.layer],)
    notes = ("one layer only" if cloth.folded else "", "face down" if placed.mirrored else "")
    return tuple(filter(None, notes))


class PieceDrawing:
    """A piece on the page, where x runs to the right, across the cloth, and y down, along it.

    Args:
        placed: the piece as it lies.
        number: its place in the order of cutting.
        notes: what to mind when cutting it.
        left, top: where the lay's corner is on the page, mm.
    """

    def __init__(
        self, placed: Placed, number: int, notes: tuple[str, ...], pen: Pen, *, left: float, top: float
    ) -> None:
        self.placed, self.number, self.notes, self.pen = placed, str(number), notes, pen
        self.outline = [(left + y, top + x) for x, y in placed.outline]
        self.shape = Polygon(self.outline)
        spot = shapely.maximum_inscribed_circle(self.shape, tolerance=pen.line / 2)
        (self.x, self.y), self.radius = spot.coords[0], spot.length
        # Two digits leave no room for the arrow unless they are smaller.
        self.size = min(pen.line * 1.3, self.radius * (1.1 if len(self.number) == 1 else 0.75))

    def svg(self) -> Iterator[str]:
        points = " ".join(f"{x:.2f},{y:.2f}" for x, y in self.outline)
        yield (
            f'<polygon points="{points}" fill="{FILLS[self.placed.layer]}" stroke="#222" '
            f'stroke-width="{self.pen.line * 0.07:.2f}"/>'
        )
        yield self._grain()
        yield self.pen.text(
            self.x, self.y + self.size * 0.2, self.number, size=self.size, anchor="middle", bold=True
        )
        yield from self._words()

    def _grain(self) -> str:
        """An arrow beside the number, pointing the way the pattern's own arrow points."""
        rotation, line = self.placed.rotation, self.pen.line
        way = -1.0 if round(rotation) % 360 == 180 else 1.0
        turn = (
            f' transform="rotate({-(rotation if way > 0 else 0.0):g} {self.x:.2f} {self.y:.2f})"'
            if rotation % 180
            else ""
        )
        half, barb = self.radius * 0.48, min(line * 0.4, self.radius * 0.25)
        x, tip, tail = self.x - self.radius * 0.8, self.y + way * half, self.y - way * half
        return (
            f'<path d="M{x:.2f} {tail:.2f}L{x:.2f} {tip:.2f}M{x - barb:.2f} {tip - way * barb * 1.6:.2f}'
            f'L{x:.2f} {tip:.2f}L{x + barb:.2f} {tip - way * barb * 1.6:.2f}" fill="none" stroke="#555" '
            f'stroke-width="{line * 0.07:.2f}"{turn}/>'
        )

    def _words(self) -> Iterator[str]:
        """Name and notes under the number, else the name alone, there or beside the number."""
        for lines in ((self.placed.piece, *self.notes), (self.placed.piece,)):
            size = min(self.pen.line * NAME_SIZE, 1.45 * self.radius / max(map(len, lines)) / CHARACTER)
            if size >= self.pen.line * LEAST_NAME:
                yield from self._under(lines, size)
                return
        yield from self._beside()

    def _under(self, lines: tuple[str, ...], size: float) -> Iterator[str]:
        for row, words in enumerate(lines, start=1):
            y = self.y + self.size * 0.2 + size * 1.15 * row
            yield self.pen.text(self.x, y, words, size=size, anchor="middle")

    def _beside(self) -> Iterator[str]:
        """The name along a narrow piece, where it can be read; else nothing: the key has it."""
        best = max(((self._room(turn), turn) for turn in WAYS), key=lambda found: found[0])
        size, turn = best
        if size >= self.pen.line * LEAST_BESIDE:
            x, y = self._moved(turn, self._offset(turn), size * 0.32)
            yield self.pen.text(x, y, self.placed.piece, size=size, turn=turn)

    def _offset(self, turn: float) -> float:
        """How far from the middle of the number the name begins."""
        return self.size * (0.5 if turn else 0.42 * len(self.number)) + self.pen.line * 0.25

    def _room(self, turn: float) -> float:
        """The greatest size of the name that stays inside the piece when it runs that way; 0 where none."""
        size, offset = min(self.pen.line * NAME_SIZE, self.radius), self._offset(turn)
        while size >= self.pen.line * LEAST_BESIDE:
            end = offset + len(self.placed.piece) * CHARACTER * size
            run = LineString([(self.x + offset, self.y), (self.x + end, self.y)])
            box = run.buffer(size * 0.45, cap_style="flat")
            if self.shape.covers(affinity.rotate(box, turn, origin=(self.x, self.y))):
                return size
            size *= 0.92
        return 0.0

    def _moved(self, turn: float, along: float, below: float) -> tuple[float, float]:
        """The point so far along the way and below it, seen as the words are read."""
        cosine, sine = cos(radians(turn)), sin(radians(turn))
        return self.x + along * cosine - below * sine, self.y + along * sine + below * cosine
