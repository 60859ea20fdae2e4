"""The waist seam of a bodice: pieces between darts, each square to the legs, so that it runs on once sewn."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan, cos, sin, tan

from drafting.errors import CannotDraft
from drafting.geometry import Path, Point, distance

WIDEST_OF_LENGTH = 0.6  # of a dart's length: its width at most (common practice, no source)
_EXACT = 1e-9  # mm, of the sewn waist


@dataclass(frozen=True, slots=True)
class DartPlace:
    """Where a waist dart stands: its upright axis and the height of its point."""

    axis: float
    apex: float


@dataclass(frozen=True, slots=True)
class WaistLine:
    """``panels`` run from the centre outward; between two panels stands a dart with its two feet."""

    panels: tuple[Path, ...]
    feet: tuple[tuple[Point, Point], ...]

    @property
    def length(self) -> float:
        """Length of the sewn waist, darts closed, mm."""
        return sum(panel.length for panel in self.panels)

    @property
    def width(self) -> float:
        """The girth that the sewn waist spans: the straight widths of its panels, mm."""
        return sum(distance(panel.start, panel.end) for panel in self.panels)


def level_curve(start: Point, start_slope: float, end: Point, end_slope: float) -> Path:
    """A flat curve with the given slopes (radians) at its ends."""
    reach = (end.x - start.x) / 3
    return Path.cubic(
        start,
        start + Point(cos(start_slope), sin(start_slope)) * reach,
        end - Point(cos(end_slope), sin(end_slope)) * reach,
        end,
    )


def waist_line(
    places: Sequence[DartPlace], half: float, side: Point, lean: float, rise: float = 0.0
) -> WaistLine:
    """Return the waist from (0, rise) to ``side``; each dart takes ``half`` to either side of its axis.

    ``lean`` is the angle of the side seam from the upright (radians, positive where it widens upward): the
    waist arrives square to it, as it arrives square at each dart's leg.
    """
    at, slope = Point(0.0, rise), 0.0
    panels, feet = [], []
    for place in places:
        foot, alpha = _foot(at, slope, place, half)
        panels.append(level_curve(at, slope, foot, -alpha))
        other = Point(place.axis + half, foot.y)
        feet.append((foot, other))
        at, slope = other, alpha
    panels.append(level_curve(at, slope, side, -lean))
    return WaistLine(tuple(panels), tuple(feet))


def _foot(at: Point, slope: float, place: DartPlace, half: float) -> tuple[Point, float]:
    """The inner foot of a dart, reached by a curve of even bend, and the lean of its leg."""
    x, y, alpha = place.axis - half, at.y, 0.0
    for _ in range(6):
        alpha = atan(half / (place.apex - y))
        y = at.y + (x - at.x) * tan((slope - alpha) / 2)
    return Point(x, y), alpha


def side_height(places: Sequence[DartPlace], half: float, x: float, lean: float) -> float:
    """How high the waist reaches the side when its last piece, too, bends evenly."""
    line = waist_line(places, half, Point(x, 0.0), lean)
    at = line.feet[-1][1] if line.feet else Point(0.0, 0.0)
    slope = atan(half / (places[-1].apex - at.y)) if places else 0.0
    return at.y + (x - at.x) * tan((slope - lean) / 2)


def fitted(
    places: Sequence[DartPlace], target: float, side: Point, lean: float, rise: float = 0.0
) -> tuple[WaistLine, float]:
    """The waist of that length, starting ``rise`` high: how wide the darts must be is found by halving.

    Raises: CannotDraft where no width of the darts gives that waist.
    """
    gaps = [place.axis for place in places[:1]]
    gaps += [(b.axis - a.axis) / 2 for a, b in pairwise(places)]
    gaps.append(side.x - places[-1].axis)
    low, high = 0.0, min(gaps) - 4.0

    def miss(half: float) -> float:
        return waist_line(places, half, side, lean, rise).width - target

    if not (high > 0 and miss(low) >= 0 >= miss(high)):
        raise CannotDraft(
            "the waist is so much smaller than the bust that no darts of the bodice take it in; "
            "measure both again",
            field="waist_girth",
        )
    half = root(miss, low, high)
    line = waist_line(places, half, side, lean, rise)
    _refuse_stubby(places, half, line)
    return line, half


def _refuse_stubby(places: Sequence[DartPlace], half: float, line: WaistLine) -> None:
    """Raises: CannotDraft where a dart is too wide for its length to end in a point that lies flat."""
    for place, (foot, _) in zip(places, line.feet, strict=True):
        length = place.apex - foot.y
        if 2 * half > WIDEST_OF_LENGTH * length:
            raise CannotDraft(
                f"a waist dart would be {2 * half:.0f} mm wide and only {length:.0f} mm long; leave the "
                "waist looser, or take more of it in at the side seam",
                field="waist_girth",
            )


def root(falling: Callable[[float], float], low: float, high: float) -> float:
    """Where a falling function passes 0 between two ends (regula falsi with the Illinois step)."""
    f_low, f_high, stale = falling(low), falling(high), 0
    for _ in range(60):
        if f_low == f_high:
            break
        middle = (low * f_high - high * f_low) / (f_high - f_low)
        value = falling(middle)
        if abs(value) <= _EXACT:
            return middle
        if (value > 0) == (f_low > 0):
            low, f_low = middle, value
            f_high, stale = (f_high / 2 if stale < 0 else f_high), -1
        else:
            high, f_high = middle, value
            f_low, stale = (f_low / 2 if stale > 0 else f_low), 1
    return (low + high) / 2
