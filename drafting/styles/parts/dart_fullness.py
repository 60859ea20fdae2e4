"""Fullness at the neckline in the place of a bust dart: gathered, or in a tuck."""

from __future__ import annotations

from collections.abc import Mapping

from drafting.errors import BadChoice
from drafting.geometry import Path, Point, lerp, unit
from drafting.making import Corner, Making, Phase, run
from drafting.operations.darts import halves_of
from drafting.operations.fullness import left_open
from drafting.operations.ring import dart_named
from drafting.pattern import Dart, MarkKind, Method

FULLNESS = "fullness gathered at the neckline"
_BESIDE = 0.3  # of the neckline: gathers are spread so far to either side (common practice, no source)
_FULLEST = 3.0  # times what it is gathered into, at most
_SEWN = 0.35  # of a tuck's length: it is sewn so far down from the neckline (common practice, no source)
_TICK = 10.0  # mm: marks on the neckline


def gather_neck(making: Making, piece: str, name: str, edge: str) -> None:
    """Leave a dart unsewn that was opened in the neckline's ``edge``, and gather what it took up.

    Raises: BadChoice where that is too full. Source: gathers 1.5 to 3 times (Butterick, The New Dressmaker,
    1921).
    """
    dart = dart_named(making.sketches[piece], name)
    first, second = halves_of(edge)
    zone = _BESIDE * making.run_length(making.lines["front neck"])
    mouth = tuple(making.sketches[piece].path(half).length for half in (first, second))
    change, fullness = left_open(making.sketches[piece], name, edge)
    if fullness > (_FULLEST - 1) * 2 * zone:
        raise BadChoice(
            f"{fullness:.0f} mm of fullness do not go into gathers on {2 * zone:.0f} mm of neckline; leave "
            "the dart at the side seam, or choose another neckline",
            field="bust_dart",
        )
    change.apply(making)
    making.lengthened(piece, first, fullness)
    making.smooth("neckline where it is gathered", Corner(piece, first, second))
    begin, end = (max(length - zone, 0.0) for length in mouth)
    _mark(making, piece, {first: begin, second: making.run_length(run(piece, second)) - end}, dart)
    neck = making.lines["front neck"]
    making.sew(Phase.DARTS, "gathers at the neckline", neck, neck, Method.GATHERED)
    making.note(
        Phase.DARTS,
        "Run two rows of long stitches along the front neckline between its marks and draw it up by "
        f"{fullness:.0f} mm on each side of the centre, so that it is as long as what is sewn to it; hold it "
        "with a tape.",
    )


def _mark(making: Making, piece: str, places: Mapping[str, float], dart: Dart) -> None:
    """Where the gathers begin and end, by edge, mm along it; and the fullness as it runs to the bust."""
    sketch = making.sketches[piece]
    for edge, at in places.items():
        start = sketch.path(edge).point_at(max(at, 0.0))
        tick = Path.line(start, start + unit(dart.apex - start) * _TICK)
        sketch.mark("gather to here", MarkKind.DRILL, tick)
    sketch.mark(FULLNESS, MarkKind.GUIDE, Path.polyline((dart.start, dart.apex, dart.end)))


def tuck_neck(making: Making, piece: str, name: str) -> None:
    """Sew a dart from the neckline down a part of its length only; below that its fullness is let out."""
    sketch = making.sketches[piece]
    dart = dart_named(sketch, name)
    for point in (dart.start, dart.end):
        at = lerp(point, dart.apex, _SEWN)
        sketch.mark("sew the tuck to here", MarkKind.DRILL, Path.line(at, at + Point(0.0, 0.5)))
    making.note(
        Phase.DARTS,
        "Tuck at the neckline: fold it like a dart, sew it from the neckline down to its marks only, fasten "
        "the stitching there and press its upper part towards the centre; below the marks it opens into "
        "fullness over the bust.",
    )
