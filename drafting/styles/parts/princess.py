"""Princess lines: seams from the shoulder or the armhole over the bust to the lower edge, front and back."""

from __future__ import annotations

from dataclasses import dataclass, replace

import shapely

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.princess import Lower, Turn, begun_beside, eased_edges, edges, leaving
from drafting.errors import BadChoice, CannotDraft
from drafting.geometry import Line, Path, Point, intersect, unit
from drafting.making import Corner, Making, Phase, run
from drafting.operations.darts import merge_darts, slit
from drafting.operations.parting import parted, seam_corners
from drafting.operations.ring import Place
from drafting.operations.truing_lines import recurved, redrawn
from drafting.pattern import Dart, Method
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.armholes import armhole_notches
from drafting.styles.parts.line_places import (
    bust_darts,
    bust_turn,
    first_waist_dart,
    lower_line,
    place_on,
)

SHOULDER, ARMHOLE, NO_LINE = "shoulder", "armhole", "none"
LABELS = {
    SHOULDER: "from the shoulder",
    ARMHOLE: "from the armhole",
    NO_LINE: "none: darts",
}
_SIDES = ("front", "back")
_MIDDLE = 0.5  # of the shoulder: where the line begins (common practice, no source)
_ABOVE_NOTCH = 15.0  # mm
_BELOW_SHOULDER = 0.2  # of the armhole: no line begins higher (common practice, no source)
_LOWER = (0.0, 0.05, 0.1, 0.15, 0.2, 0.25)  # of the armhole: tried where a line would run out of it
_CLEAR_START = 2.0  # mm from its beginning a line is looked at
_OFF_NECK = 8.0  # mm: a line closer to the neckline leaves no cloth between two seams
_BACK_AXIS = (
    0.43  # of the back's width: where the line runs without a dart to follow, as the block's darts do
)
_WIDEST_AXIS = 0.62  # of the front's width: the bust point lies no further out, as in the block
_BUST_HEIGHT = 0.85  # of the underarm's: the level of the bust where no dart shows it
_AROUND_BUST = 50.0  # mm above and below the bust: the ease lies between notches there (common practice)
_LEAST_TAKEN = 0.25  # mm: less on either side is left to be eased
_EVEN, _LESS = 0.05, 0.8  # mm that both edges may differ by; what is tried next of what is taken in
_PLAIN = 1.0  # mm: with no more ease than this the edges are sewn as equals
_SEAM, _CUT, _FOOT = "princess seam", "princess cut", "princess foot"
_DOWN = Point(0.0, -1.0)
_ABOVE, _BELOW = " above the waist", " below the waist"


@dataclass(frozen=True, slots=True)
class PrincessLines:
    """Parts front and back into centre and side panels; the bust dart and a waist dart go into the seams."""

    offered: tuple[str, ...] = (SHOULDER, ARMHOLE)
    needs: tuple[str, ...] = ("bust_point_width",)
    clashes: tuple[Clash, ...] = (
        Clash(
            "princess",
            (SHOULDER, ARMHOLE),
            "bust_dart",
            ("shoulder", "armhole", "neckline", "neckline gathers", "neckline tuck", "waist"),
            "The bust dart goes into the princess line: leave it at the side.",
        ),
        Clash(
            "princess",
            (SHOULDER, ARMHOLE),
            "yoke",
            ("front", "back", "both"),
            "A yoke and princess lines would cross: choose one of them.",
        ),
    )

    @property
    def choices(self) -> tuple[Choice, ...]:
        options = tuple((name, LABELS[name]) for name in self.offered)
        return (Choice("princess", "Princess lines", "option", self.offered[0], options),)

    def make(self, making: Making) -> None:
        """Part the shell of front and back and sew the panels. Raises: CannotDraft, BadChoice."""
        top = making.chosen("princess", self.offered[0])
        if top == NO_LINE:
            return
        for side in _SIDES:
            _part(making, side, top)
        making.note(
            Phase.PANELS,
            "Join side panels to centre panels, notch to notch; over the bust ease the side panel in, clip "
            "the centre panel's allowance to the stay-stitching where it bends, and press over a ham.",
        )


@dataclass(frozen=True, slots=True)
class _Foot:
    """What is below the bust: where the edges part, each edge, and ``tail``, which they share beyond it.

    ``dart`` names the dart that the seam ends in, else it ends at ``place``.
    """

    top: Point
    inner: Lower
    outer: Lower
    dart: str = ""
    place: Place | None = None
    tail: Path | None = None
    absorbed: str = ""  # the inner dart that goes into the seam


def _foot(making: Making, side: str, turn: Turn | None) -> _Foot:
    sketch = making.shell(side)
    open_dart = first_waist_dart(sketch)
    if open_dart is not None and open_dart.leg_edges is not None:
        return _into_dart(open_dart)
    inner_dart = next((d for d in sketch.darts if d.name.endswith(_ABOVE)), None)
    if inner_dart is not None:
        return _along_inner(making, side, inner_dart)
    return _unshaped(making, side, turn)


def _into_dart(dart: Dart) -> _Foot:
    inner, outer = (Lower((end,), unit(end - dart.apex)) for end in (dart.start, dart.end))
    return _Foot(dart.apex, inner, outer, dart.name)


def _along_inner(making: Making, side: str, above: Dart) -> _Foot:
    """Along a dart that is pointed at both ends, then straight down."""
    name = above.name.removesuffix(_ABOVE)
    below = next(d for d in making.shell(side).darts if d.name == name + _BELOW)
    foot = below.apex
    place, end = _below(making, side, foot.x)
    return _Foot(
        above.apex,
        Lower((above.start, foot), _DOWN),
        Lower((above.end, foot), _DOWN),
        place=place,
        tail=Path.line(foot, end),
        absorbed=name,
    )


def _unshaped(making: Making, side: str, turn: Turn | None) -> _Foot:
    """Straight down, where nothing is taken in at the waist."""
    under = making.run_path(f"{side} armhole").end
    width = turn.about.x / _WIDEST_AXIS if turn else under.x
    axis = (
        min(making.body["bust_point_width"] / 2, _WIDEST_AXIS * width)
        if side == "front"
        else _BACK_AXIS * width
    )
    place, end = _below(making, side, axis)
    straight = Lower((end,), _DOWN)
    return _Foot(Point(axis, _BUST_HEIGHT * under.y), straight, straight, place=place)


def _below(making: Making, side: str, x: float) -> tuple[Place, Point]:
    """The place on the lower edge straight below. Raises: CannotDraft where the edge does not reach there."""
    sketch = making.shell(side)
    upright = Line(Point(x, 1e4), Point(x, -1e4))
    for step in making.lines[f"{side} {lower_line(making, side)}"]:
        path = sketch.path(step.edge)
        for point in intersect(path, upright):
            return (step.edge, path.along(point)), point
    raise CannotDraft(
        f"the {side} is too narrow below for a princess line; measure bust and waist again", field="princess"
    )


def _beginning(making: Making, side: str, top: str) -> float:
    """Where the line begins, of its edge: above the armhole's notch; lower down it would run level."""
    notches = armhole_notches(making, side) if top == ARMHOLE else []
    if not notches:
        return _MIDDLE
    share = (notches[0][0] - _ABOVE_NOTCH) / making.run_length(making.lines[f"{side} armhole"])
    return max(share, _BELOW_SHOULDER)


def _apart(making: Making, side: str, foot: _Foot) -> Point:
    """Where the edges part: at the dart's point, but not above the bust line, whose girth is the body's."""
    levels = [width.start.y for width in making.widths("bust", making.shells[side])]
    return Point(foot.top.x, min([foot.top.y, *levels]))


def _part(making: Making, side: str, top: str) -> None:
    shell = making.shell(side)
    turn = bust_turn(bust_darts(shell))
    foot = _foot(making, side, turn)
    place, drawn = _course(making, side, top, foot, turn)
    _refuse_at_neckline(making, side, drawn[0])
    names = _cut_apart(making, side, place, foot, turn)
    for name, line in zip(names, drawn, strict=True):
        whole = line if foot.tail is None else line.joined(foot.tail)
        redrawn(making.sketches[name], _SEAM, whole).apply(making)
    if side == "back" and top == SHOULDER:
        _take_in_shoulder(making, names)
    ease = drawn[1].length - drawn[0].length
    ease = ease if turn and ease > _PLAIN else 0.0
    _notch(making, names, drawn, ease)
    _sew(making, side, names, ease)


def _course(
    making: Making, side: str, top: str, foot: _Foot, turn: Turn | None
) -> tuple[Place, tuple[Path, Path]]:
    """Where the line begins, and both edges; from a steep armhole it begins lower.

    Raises: BadChoice where it would run out of the armhole wherever it began.
    """
    line, share = making.lines[f"{side} {top}"], _beginning(making, side, top)
    over = Point(foot.top.x, turn.about.y) if turn else _apart(making, side, foot)
    most = making.house["princess_ease"]
    for lower in _LOWER if top == ARMHOLE else (0.0,):
        place = place_on(making, line, share + lower)
        edge = making.shell(side).path(place[0])
        upper = edge.point_at(place[1]), leaving(edge, place[1], over)
        drawn = _drawn(upper, over, foot, turn, most)
        if top != ARMHOLE or not _runs_out(drawn[0], edge.split_at(place[1])[1]):
            return place, drawn
    raise BadChoice(
        f"a princess line from this armhole would run out of the {side}; let it begin at the shoulder",
        field="princess",
    )


def _drawn(
    upper: tuple[Point, Point], over: Point, foot: _Foot, turn: Turn | None, most: float
) -> tuple[Path, Path]:
    """Both edges, the outer one eased by ``most`` at most."""
    lower = (foot.inner, foot.outer)
    return eased_edges(upper, over.x, lower, turn, most) if turn else edges(upper, over, lower, None)


def _runs_out(line: Path, armhole: Path) -> bool:
    """Whether a line crosses the armhole below the place where it begins."""
    inside = line.split_at(_CLEAR_START)[1]
    return bool(shapely.intersects(*(shapely.LineString(path.flatten(0.5)) for path in (inside, armhole))))


def _refuse_at_neckline(making: Making, side: str, line: Path) -> None:
    """Raises: BadChoice where the line would run into the neckline."""
    if f"{side} neck" not in making.lines:
        return
    neck = making.run_path(f"{side} neck")
    drawn = (shapely.LineString(path.flatten(0.5)) for path in (neck, line))
    if shapely.distance(*drawn) < _OFF_NECK:
        raise BadChoice(
            f"the princess line of the {side} would run into so wide or deep a neckline; choose another "
            "neckline, or less of it",
            field="princess",
        )


def _cut_apart(making: Making, side: str, place: Place, foot: _Foot, turn: Turn | None) -> tuple[str, str]:
    """Close the bust darts into a cut from above and part the panel from there to its lower edge.

    Returns the names of the centre panel and the side panel.
    """
    piece, names = making.shells[side], (f"centre {side}", f"side {side}")
    if foot.absorbed:
        _absorb(making.sketches[piece], foot.absorbed)
    point = turn.about if turn else foot.top
    slit(making.sketches[piece], place, point, _CUT).apply(making)
    merge_darts(making, piece, [d.name for d in bust_darts(making.sketches[piece])], _CUT, point)
    lower = foot.dart
    if foot.place is not None:
        lower = _FOOT
        slit(making.sketches[piece], foot.place, foot.top if foot.tail else point, lower).apply(making)
    parted(
        making.sketches[piece],
        (_CUT, lower),
        names,
        holds=making.lines[f"{side} {lower_line(making, side)}"][0].edge,
        edge=_SEAM,
        allowance=making.house["seam_allowance"],
    ).apply(making)
    return names


def _absorb(sketch: Sketch, name: str) -> None:
    """Take a dart inside the piece away, with its marks: the seam does its work."""
    sketch.darts = [dart for dart in sketch.darts if dart.name not in {name + _ABOVE, name + _BELOW}]
    sketch.marks = [mark for mark in sketch.marks if mark.name not in {name, f"{name} hole"}]


def _take_in_shoulder(making: Making, names: tuple[str, str]) -> None:
    """Let the seam take in at the shoulder what the back shoulder is longer, half on either side of it.

    So it does the work of a shoulder dart: the roundness over the blade comes out of the seam, and the
    shoulder seam is sewn without ease (common practice, no source). Where a slanting line would have edges of
    unequal length by that, it takes in less, and the rest is eased as before.
    """
    back, front = (making.run_length(making.lines[f"{side} shoulder"]) for side in ("back", "front"))
    half = (back - front) / 2
    while half >= _LEAST_TAKEN:
        (inside, inner), (outside, line) = (
            _beside_taken(making, name, towards, half) for name, towards in zip(names, (-1, 1), strict=True)
        )
        outer = recurved(line, inner.length)
        if abs(outer.length - inner.length) <= _EVEN:
            break
        half *= _LESS
    else:
        return
    for name, shoulder, seam in zip(names, (inside, outside), (inner, outer), strict=True):
        sketch = making.sketches[name]
        for stroke, path in ((shoulder, shoulder.path), (sketch.stroke(_SEAM), seam)):
            sketch.put(stroke.name, replace(stroke, path=path))
        making.lengthened(name, shoulder.name, -half)


def _beside_taken(making: Making, name: str, towards: int, half: float) -> tuple[Stroke, Path]:
    """A panel's shoulder ``half`` mm shorter at the seam, and its seam begun there."""
    sketch = making.sketches[name]
    shoulder = sketch.stroke(seam_corners(sketch, _SEAM)[0])
    path = shoulder.path
    kept = path.split_at(path.length - half)[0] if towards < 0 else path.split_at(half)[1]
    begin = kept.end if towards < 0 else kept.start
    line = sketch.path(_SEAM)
    return replace(shoulder, path=kept), begun_beside(line, begin - line.start)


def _notch(making: Making, names: tuple[str, str], drawn: tuple[Path, Path], ease: float) -> None:
    """One notch at the bust where the edges are equal; else one above and one below, ease between them."""
    inner, outer = drawn
    at = inner.segments[0].length  # the first curve ends at the bust
    count = 2 if "back" in names[0].split() else 1
    reach = min(_AROUND_BUST, 0.4 * at, 0.4 * (inner.length - at)) if ease else 0.0
    places = {at - reach: at - reach, at + reach: at + reach + (outer.length - inner.length if ease else 0.0)}
    for on_inner, on_outer in places.items():
        making.sketches[names[0]].notch(_SEAM, on_inner, count)
        making.sketches[names[1]].notch(_SEAM, on_outer, count)


def _sew(making: Making, side: str, names: tuple[str, str], ease: float) -> None:
    """Sew the panels, and say which lines run on across their seam."""
    centre, outer = names
    method = Method.EASED if ease else Method.PLAIN
    line = f"{side} princess line"
    making.sew(Phase.PANELS, line, run(outer, _SEAM), run(centre, _SEAM), method, ease=ease)
    beside = {name: seam_corners(making.sketches[name], _SEAM) for name in names}
    for end, what in enumerate(("above", "below")):
        corners = (Corner(name, _SEAM, beside[name][end]) for name in names)
        making.smooth(f"{line}, the edge {what}", *corners)
