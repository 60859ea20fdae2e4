"""What every skirt shares: the seam that it hangs from, how its panels are drawn, its hem.

A skirt hangs from the lines "front waist" and "back waist", whether a bodice or a waistband has drawn
them. Its panels are drawn below that seam (y = 0 there) and lifted to ``Making.waist_height``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from drafting.blocks.centre import Centre, centre_strokes
from drafting.blocks.sketch import Sketch, Stroke
from drafting.errors import BadChoice, CannotDraft
from drafting.geometry import Path, Point
from drafting.making import Corner, Making, Phase, run
from drafting.pattern import Dart, EdgeKind, Mark
from drafting.styles.choices import Choice
from drafting.styles.parts.uppers.vents import Vent, vented_centre

SIDES = ("front", "back")
NEEDS = ("waist_to_hip", "waist_to_knee", "waist_height", "hip_girth", "waist_girth")
SKIRT_LENGTH = Choice(
    "skirt_length",
    "Skirt length from the waist",
    "length",
    0.0,
    low=60.0,
    high=1500.0,
    help="Left empty, or 0, it ends at the knee.",
)
_EXACT = 0.01  # mm
_SHORTEST = 60.0  # mm below its seam, of a skirt that need not reach the hip
_LEAST_HIP_LEVEL = 40.0  # mm below the seam: with less between them the seam is as wide as the hip
_HEM_SHARE = 0.15  # of the skirt's length: no hem is deeper (common practice, no source)


@dataclass(frozen=True, slots=True)
class Hang:
    """Sizes of a skirt, mm: ``seams`` and ``hips`` are those of half a front and half a back."""

    seams: Mapping[str, float]
    hips: Mapping[str, float]
    top: float  # height of the seam above the natural waist
    length: float  # from the seam
    hip_level: float  # below the seam
    reaches_hip: bool  # whether the skirt is shaped between its seam and the hip
    separate: bool  # hangs from a band, not from a bodice

    @property
    def below_hip(self) -> float:
        return self.length - self.hip_level


@dataclass(frozen=True, slots=True)
class Drawn:
    """A panel below its seam, from the centre outward.

    ``clear`` is how far from the centre the waist is plain cloth, without dart, pleat or gathers.
    """

    waist: tuple[Stroke, ...]
    side: Path
    hem: Path
    grain: tuple[Point, Point]
    hem_depth: float
    darts: tuple[Dart, ...] = ()
    clear: float = 1e9


def hang(making: Making, *, fitted: bool) -> Hang:
    """Return the sizes of a skirt that hangs from what was drawn; ``fitted`` ones must pass the hip.

    The halves differ at the hip by what they differ at the seam, so that both sides are shaped alike.

    Raises: BadChoice, CannotDraft where no skirt ends between there and the floor.
    """
    body, top = making.body, making.waist_height
    seams = {side: making.run_length(making.lines[f"{side} waist"]) for side in SIDES}
    level = body["waist_to_hip"] + top
    middle = sum(seams.values()) / 2
    quarter = (body["hip_girth"] + making.house["hip_ease"]) / 4
    # Below a dropped seam that is as wide as the hip already there is nothing to shape.
    reaches = level >= _LEAST_HIP_LEVEL and (top >= 0 or middle <= quarter)
    quarter = quarter if reaches else middle
    hips = {side: quarter + seam - middle for side, seam in seams.items()}
    least = body["waist_to_hip"] + making.house["skirt_shortest"] if fitted else _SHORTEST
    least = max(least, _SHORTEST - top)
    return Hang(
        seams,
        hips,
        top,
        _length(making, least) + top,
        max(level, _LEAST_HIP_LEVEL),
        reaches,
        "front" not in making.shells,
    )


def _length(making: Making, shortest: float) -> float:
    """Of the skirt below the natural waist."""
    length = making.length("skirt_length", making.body["waist_to_knee"])
    longest = making.body["waist_height"] - 15.0
    if longest < shortest:
        raise CannotDraft(
            "the hip lies so low that no skirt ends between it and the floor; measure waist to hip again",
            field="waist_to_hip",
        )
    if length < shortest or length > longest:
        raise BadChoice(
            f"a skirt of {length:.0f} mm: it must end between {shortest:.0f} mm (below the hip or its seam) "
            f"and {longest:.0f} mm (above the floor)",
            field="skirt_length" if making.length("skirt_length", 0.0) else "waist_to_knee",
        )
    return length


def hem_depth(making: Making, hung: Hang, kind: str = "hem_depth") -> float:
    """Depth of a hem by a house rule, less on a skirt too short for it, mm."""
    return min(making.house[kind], _HEM_SHARE * hung.length)


def straight_hem(hung: Hang) -> str:
    """The house rule for the hem of a straight skirt: that of a dress where it hangs from a bodice."""
    return "straight_hem_depth" if hung.separate else "hem_depth"


def upright_grain(x: float, hung: Hang) -> tuple[Point, Point]:
    """A grain line that stands at ``x``."""
    return Point(x, -0.85 * hung.length), Point(x, -0.25 * hung.length)


def seam_stroke(making: Making, name: str, path: Path) -> Stroke:
    """A line with a plain seam allowance."""
    return Stroke(name, path, EdgeKind.SEAM, making.house["seam_allowance"])


def needs_centre_seam(making: Making, side: str, opened: float) -> None:
    """Give a side that would be cut on the fold a seam at its centre where it is too wide for the cloth."""
    role = f"skirt {side}"
    if making.centre(role).kind == "fold" and opened > making.house["panel_widest"]:
        making.centres[role] = Centre("seam")


def add_panel(making: Making, side: str, drawn: Drawn, hung: Hang, vent: Vent | None = None) -> Sketch:
    """Add the panel at the centre front or back, close its outline there, and name its lines by role."""
    house, name = making.house, f"skirt {side}"
    centre = making.centre(name)
    waist = [Stroke(s.name, s.path.translated(0.0, hung.top), s.kind, s.allowance) for s in drawn.waist]
    side_path, hem = drawn.side.translated(0.0, hung.top), drawn.hem.translated(0.0, hung.top)
    top, foot = waist[0].path.start, hem.start
    if vent is not None:
        closing = vented_centre(making, vent, top, foot, role=name, hem=straight_hem(hung))[::-1]
    elif centre.kind == "buttons":
        stand = _stand_width(making, drawn)
        waist = _with_stand(making, waist, stand)
        hem = Path.line(Point(foot.x - centre.extension, foot.y), foot).joined(hem)
        closing = _buttoned(making, centre, top, foot)
    else:
        closing = centre_strokes(centre, side, top, foot, house)[::-1]
    sketch = making.add(
        Sketch(
            name,
            [
                *waist,
                Stroke("side", side_path, EdgeKind.SEAM, house["side_allowance"]),
                Stroke("hem", hem, EdgeKind.HEM, drawn.hem_depth),
                *closing,
            ],
            (centre.cut(),),
            (_lifted(drawn.grain[0], hung), _lifted(drawn.grain[1], hung)),
            is_front=side == "front",
            darts=[_lifted_dart(dart, hung) for dart in drawn.darts],
            turned=("hem",) if vent is None else ("hem", "vent hem"),
        )
    )
    making.shells[name] = name
    seams = (s.name for s in waist if s.kind is EdgeKind.SEAM and s.name != "waist extension")
    making.lines[f"{name} waist"] = run(name, *seams)
    making.lines |= {f"{name} {line}": run(name, line) for line in ("side", "hem")}
    _sew_centre(making, sketch, centre, side)
    return sketch


def _lifted_dart(dart: Dart, hung: Hang) -> Dart:
    start, apex, end = (_lifted(point, hung) for point in (dart.start, dart.apex, dart.end))
    return Dart("", dart.name, start, apex, end, dart.leg_edges)


def lifted_mark(mark: Mark, hung: Hang) -> Mark:
    """A mark that was drawn below the seam, in its place on the panel."""
    return Mark(mark.name, mark.kind, mark.path.translated(0.0, hung.top), mark.arrow)


def _lifted(point: Point, hung: Hang) -> Point:
    return Point(point.x, point.y + hung.top)


def _sew_centre(making: Making, sketch: Sketch, centre: Centre, side: str) -> None:
    """Sew a seam at the centre; the hem crosses the centre squarely. A zip is set by ``ZipIn``."""
    name = sketch.name
    if centre.kind == "seam":
        line = run(name, f"centre {side}")
        making.sew(Phase.SKIRT, f"centre {side} of the skirt", line, line, times=1)
    if folds_back(making, sketch):  # its hem runs on beyond the fold
        return
    hem = "vent hem" if "vent hem" in sketch.turned else "hem"
    making.square(f"hem at the centre {side}", Corner(name, hem, _after(sketch, hem)))


def _after(sketch: Sketch, edge: str) -> str:
    """The edge next to another in the ring, on the side of the centre."""
    names = [stroke.name for stroke in sketch.strokes]
    return names[(names.index(edge) + 1) % len(names)]


# The button stand


def folds_back(making: Making, front: Sketch) -> bool:
    """Whether a front's edge is folded back as a placket: where neither pleat nor dart is in its way."""
    centre = making.centre("skirt front")
    if not centre.folded or front.name != "skirt front":
        return False
    return abs(front.path("waist stand").length - centre.extension) < _EXACT


def _stand_width(making: Making, drawn: Drawn) -> float:
    """How far the stand's facing reaches from the centre front: never into a dart or a pleat."""
    centre, first = making.centre("skirt front"), min(stroke.path.length for stroke in drawn.waist[:1])
    if centre.folded and min(drawn.clear - 2.0, 0.9 * first) >= centre.extension:
        return centre.extension
    return max(min(making.house["front_facing_width"], drawn.clear - 2.0, 0.35 * first), 5.0)


def _with_stand(making: Making, waist: list[Stroke], stand: float) -> list[Stroke]:
    """The waist with its extension beyond the centre, and parted where the facing ends."""
    extension = making.centre("skirt front").extension
    first, start = waist[0], waist[0].path.start
    at_stand, rest = first.path.split_at(stand)
    beyond = Path.line(Point(start.x - extension, start.y), start)
    return [
        seam_stroke(making, "waist extension", beyond),
        seam_stroke(making, "waist stand", at_stand),
        Stroke(first.name, rest, first.kind, first.allowance),
        *waist[1:],
    ]


def _buttoned(making: Making, centre: Centre, top: Point, foot: Point) -> list[Stroke]:
    edge = Path.line(Point(top.x - centre.extension, top.y), Point(foot.x - centre.extension, foot.y))
    return [Stroke("front edge", edge, EdgeKind.SEAM, making.house["enclosed_allowance"])]
