"""A straight skirt panel, fitted to the waist by darts; and the same with its darts closed into flare.

Closing a dart opens the panel below the dart's point: what was taken in at the waist becomes width at the hem
(slash and spread: common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, sin

from drafting.blocks.bodice import WaistDart
from drafting.blocks.rules import House
from drafting.blocks.skirts.edge import HipEdge
from drafting.blocks.waist import DartPlace, WaistLine, root, side_height, waist_line
from drafting.errors import CannotDraft
from drafting.geometry import Path, Point, angle_between, arc, rotated

_MOST = 2  # darts on a quarter
_SIDE_SHARE = 0.4  # of the shaping, taken by the side (common practice, no source)
_FLARED_SHARE = 0.5  # of the shaping, taken by the side of an A-line (common practice, no source)
_WIDEST_OF_LENGTH = 0.4  # a wider dart would not lie flat at its point (common practice, no source)
_PLACES = {1: (0.5,), 2: (0.4, 0.72)}  # of the waist's width
_SHORTEST = 45.0  # mm: a small child's skirt, too short from waist to hip for such a dart, has none
_OUTER = 0.9  # of the inner dart's length: an outer dart is shorter


@dataclass(frozen=True, slots=True)
class Shaping:
    """How a quarter is taken in from hip to waist: mm at the side, the rest by ``darts``."""

    side: float
    darts: int


@dataclass(frozen=True, slots=True)
class DartedPanel:
    """``waist`` runs outward, parted by darts; ``side`` downward; ``hem`` outward."""

    waist: tuple[Path, ...]
    darts: tuple[WaistDart, ...]
    side: Path
    hem: Path
    edge: HipEdge


@dataclass(frozen=True, slots=True)
class FlaredPanel:
    """A panel whose darts were closed. ``hip`` are its widths at the hip level, outward."""

    waist: Path
    side: Path
    hem: Path
    hip: tuple[tuple[Point, Point], ...]
    spread: float  # what the hip level gained, mm


def shaping(intake: float, dart: float, house: House) -> Shaping:
    """Return how ``intake`` (hip less waist of a quarter, mm) is shared by side and darts ``dart`` long."""
    widest = min(house["dart_greatest"], _WIDEST_OF_LENGTH * _OUTER * dart)
    # More than its length from waist to hip lets it take, a side cannot take alone.
    if intake < house["dart_least"] or (dart < _SHORTEST and intake <= dart):
        return Shaping(intake, 0)
    side = min(_SIDE_SHARE * intake, house["side_greatest"])
    count = min(_MOST, ceil((intake - side) / widest - 0.01))
    return Shaping(max(side, intake - count * widest), count)


def flaring(intake: float, house: House) -> Shaping:
    """Return how ``intake`` is shared where one dart is closed into flare, and the side takes more."""
    if intake < house["dart_least"]:
        return Shaping(intake, 0)
    return Shaping(_FLARED_SHARE * intake, 1)


def dart_places(count: int, width: float, length: float) -> list[DartPlace]:
    """Where the darts of a quarter stand whose waist is ``width`` wide, mm, darts open."""
    return [
        DartPlace(share * width, length * (_OUTER if k else 1.0))
        for k, share in enumerate(_PLACES.get(count, ()))
    ]


def darted_panel(
    waist: float,
    edge: HipEdge,
    side_intake: float,
    places: Sequence[DartPlace],
    side_rise: float | None = None,
) -> DartedPanel:
    """Return the panel whose sewn waist is ``waist`` long.

    Args:
        waist: mm, darts closed.
        edge: its side.
        side_intake: what the side takes in, mm.
        places: one dart or two, ``apex`` the dart's length below the waist at the centre.
        side_rise: how high the waist ends at the side, where that of another panel is to be met.

    Raises: CannotDraft, field "waist_girth", where no width of the darts gives that waist.
    """
    x = edge.hip.x - side_intake
    lean = edge.lean(x)

    def drawn(half: float) -> WaistLine:
        # The bodice's waist, drawn upside down: a skirt's darts point the other way.
        y = side_height(places, half, x, lean) if side_rise is None else -side_rise
        return waist_line(places, half, Point(x, y), lean)

    axes = [0.0, *(place.axis for place in places), x]
    high = min(b - a for a, b in pairwise(axes)) / 2 - 1.0
    if not (high > 0 and drawn(0.0).length >= waist >= drawn(high).length):
        raise CannotDraft(
            "the waist is so much smaller than the hip that no darts of a straight skirt take it in; choose "
            "a gathered or a circle skirt, or measure both again",
            field="waist_girth",
        )
    line = drawn(root(lambda half: drawn(half).length - waist, 0.0, high))
    panels = tuple(panel.mapped(_turned_over) for panel in line.panels)
    darts = tuple(
        WaistDart(_turned_over(inner), Point(place.axis, -place.apex), _turned_over(outer))
        for place, (inner, outer) in zip(places, line.feet, strict=True)
    )
    return DartedPanel(panels, darts, edge.path(panels[-1].end), edge.hem(0.0), edge)


def _turned_over(point: Point) -> Point:
    return Point(point[0], -point[1])


@dataclass(frozen=True, slots=True)
class _Turn:
    """All that lies outside a dart is turned by ``angle`` about its point."""

    about: Point
    angle: float


def closed_into_flare(panel: DartedPanel) -> FlaredPanel:
    """Return the panel with every dart closed; waist and hem run on without a corner."""
    turns = [
        _Turn(dart.apex, angle_between(dart.outer - dart.apex, dart.inner - dart.apex))
        for dart in panel.darts
    ]
    # The innermost turn comes last: it carries along what the outer ones have closed.
    waist = panel.waist[0]
    for k, part in enumerate(panel.waist[1:], start=1):
        waist = waist.joined(_all(part, turns[:k]))
    level = panel.edge.hip.y
    hip = tuple(
        (_moved(Point(a, level), turns[:k]), _moved(Point(b, level), turns[:k]))
        for k, (a, b) in enumerate(_sections(panel, panel.edge.hip.x))
    )
    gaps = tuple((end, start) for (_, end), (start, _) in pairwise(hip))
    spread = sum(
        2 * (dart.apex.y - level) * sin(turn.angle / 2) for dart, turn in zip(panel.darts, turns, strict=True)
    )
    return FlaredPanel(waist, _all(panel.side, turns), _opened_hem(panel, turns), (*hip, *gaps), spread)


def _sections(panel: DartedPanel, end: float) -> Iterator[tuple[float, float]]:
    """The stretches of x between centre, darts and side."""
    return pairwise([0.0, *(dart.apex.x for dart in panel.darts), end])


def _opened_hem(panel: DartedPanel, turns: Sequence[_Turn]) -> Path:
    """The hem's stretches as they were turned, and between them arcs about the darts' points."""
    level = panel.hem.start.y
    found: Path | None = None
    for k, (a, b) in enumerate(_sections(panel, panel.edge.hip.x)):
        stretch = Path.line(Point(a, level), Point(b, level))
        if k == len(turns):
            stretch = panel.edge.hem(a)
        if found is None:
            found = stretch
            continue
        before = turns[: k - 1]
        opened = arc(turns[k - 1].about, Point(a, level), turns[k - 1].angle)
        found = found.joined(_all(opened, before)).joined(_all(stretch, turns[:k]))
    assert found is not None
    return found


def _all(path: Path, turns: Sequence[_Turn]) -> Path:
    for turn in reversed(turns):
        path = path.rotated(turn.angle, turn.about)
    return path


def _moved(point: Point, turns: Sequence[_Turn]) -> Point:
    for turn in reversed(turns):
        point = rotated(point, turn.angle, turn.about)
    return point
