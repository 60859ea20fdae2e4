"""Style lines: princess lines, where the bust dart lies, yokes. They come after all that meets the shell."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.sketch import Sketch
from drafting.blocks.waist import WIDEST_OF_LENGTH
from drafting.errors import BadChoice
from drafting.geometry import Line, Point, distance, intersect
from drafting.making import Corner, Making, Phase, run
from drafting.operations.darts import halves_of, merge_darts, move_darts, slit
from drafting.operations.parting import parted, relabelled, seam_corners
from drafting.operations.ring import Place, dart_named
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.dart_fullness import gather_neck, tuck_neck
from drafting.styles.parts.line_places import bust_darts, first_waist_dart, lower_line, place_on
from drafting.styles.parts.princess import PrincessLines

__all__ = ["DartPlace", "PrincessLines", "Yoke"]

SIDE, SHOULDER, ARMHOLE, NECK, WAIST = "side", "shoulder", "armhole", "neckline", "waist"
NECK_GATHERS, NECK_TUCK = "neckline gathers", "neckline tuck"
NO_YOKE, FRONT, BACK, BOTH = "none", "front", "back", "both"
_OPENS = {SHOULDER: 0.5, ARMHOLE: 0.65, NECK: 0.5, NECK_GATHERS: 0.5, NECK_TUCK: 0.5}
"""Of its line from the start: where a moved dart opens (common practice, no source). Higher up, a dart would
cross the armhole so slantwise that its take-up could not be cut to lie under the armhole's edge."""
_AT_NECK = (NECK, NECK_GATHERS, NECK_TUCK)
_YOKE_ROOM = 15.0  # mm of centre left above a yoke line, and between the line and a dart's point
_YOKE_SEAM = "yoke seam"


@dataclass(frozen=True, slots=True)
class DartPlace:
    """Where the bust dart lies; the first place offered is the default."""

    offered: tuple[str, ...] = (SIDE, SHOULDER, ARMHOLE, NECK, NECK_GATHERS, NECK_TUCK, WAIST)
    needs: tuple[str, ...] = ()
    clashes: tuple[Clash, ...] = ()

    @property
    def choices(self) -> tuple[Choice, ...]:
        labels = {
            SIDE: "at the side seam",
            SHOULDER: "at the shoulder",
            ARMHOLE: "at the armhole",
            NECK: "at the neckline",
            NECK_GATHERS: "none: gathers at the neckline",
            NECK_TUCK: "none: a tuck at the neckline",
            WAIST: "at the waist, in one with the waist dart",
        }
        options = tuple((name, labels[name]) for name in self.offered)
        return (Choice("bust_dart", "Bust dart", "option", self.offered[0], options),)

    def make(self, making: Making) -> None:
        """Move the bust dart from the side. Raises: BadChoice where it would not lie flat there."""
        place, piece = making.chosen("bust_dart", self.offered[0]), making.shells["front"]
        darts = bust_darts(making.sketches[piece])
        if place == SIDE or not darts:
            return
        names, about = [dart.name for dart in darts], darts[0].apex
        waist = first_waist_dart(making.sketches[piece])
        if place == WAIST and waist is not None:
            opened = waist.name
            merge_darts(making, piece, names, opened, about)
        else:
            opened, to = f"{place} dart", _opening(making, place, about)
            move_darts(making, piece, names, to=to, name=opened, about=about)
        if place == NECK_GATHERS:
            gather_neck(making, piece, opened, to[0])
            return
        _refuse_stubby(making.sketches[piece], opened)
        if place == NECK_TUCK:
            tuck_neck(making, piece, opened)


def _opening(making: Making, place: str, about: Point) -> Place:
    """Where the moved dart opens: under the bust, or in the middle of its line."""
    if place == WAIST:
        line = making.lines[f"front {lower_line(making, 'front')}"]
        return place_on(making, line, about.x / making.run_length(line))
    line = making.lines[f"front {'neck' if place in _AT_NECK else place}"]
    return place_on(making, line, _OPENS[place], about)


def _refuse_stubby(sketch: Sketch, name: str) -> None:
    """Raises: BadChoice where a dart is too wide for its length to lie flat."""
    dart = dart_named(sketch, name)
    width, length = distance(dart.start, dart.end), distance(dart.start, dart.apex)
    if width > WIDEST_OF_LENGTH * length:
        raise BadChoice(
            f"there the bust dart would be {width:.0f} mm wide and only {length:.0f} mm long; leave it at "
            "the side seam, or choose princess lines",
            field="bust_dart",
        )


@dataclass(frozen=True, slots=True)
class Yoke:
    """A yoke across the front, the back or both, level, at a share of the armhole from the shoulder down."""

    offered: tuple[str, ...] = (NO_YOKE, BACK, FRONT, BOTH)
    share: float = 0.35
    needs: tuple[str, ...] = ()
    clashes: tuple[Clash, ...] = (
        Clash(
            "yoke",
            (FRONT, BOTH),
            "bust_dart",
            (SHOULDER, *_AT_NECK),
            "A dart from there would run through the front yoke: leave it at the side, or take the armhole.",
        ),
    )

    @property
    def choices(self) -> tuple[Choice, ...]:
        labels = {NO_YOKE: "none", BACK: "back", FRONT: "front", BOTH: "front and back"}
        options = tuple((name, labels[name]) for name in self.offered)
        return (Choice("yoke", "Yoke", "option", self.offered[0], options),)

    def make(self, making: Making) -> None:
        """Part front or back at the yoke line and sew them. Raises: BadChoice where there is no room."""
        chosen = making.chosen("yoke", self.offered[0])
        for side in (FRONT, BACK):
            if chosen in {side, BOTH}:
                _part_yoke(making, side, self.share)


def _part_yoke(making: Making, side: str, share: float) -> None:
    piece, yoke = making.shells[side], f"{side} yoke"
    edge, at = place_on(making, making.lines[f"{side} armhole"], share)
    end = making.sketches[piece].path(edge).point_at(at)
    _refuse_no_room(making, side, end.y)
    centre = _centre_at(making.sketches[piece], end.y)
    holds = making.lines[f"{side} {lower_line(making, side)}"][0].edge
    inside = Point(end.x / 2, end.y)
    slit(making.sketches[piece], centre, inside, "yoke start").apply(making)
    slit(making.sketches[piece], (edge, at), inside, "yoke end").apply(making)
    parted(
        making.sketches[piece],
        ("yoke start", "yoke end"),
        (piece, yoke),
        holds=holds,
        edge=_YOKE_SEAM,
        allowance=making.house["seam_allowance"],
    ).apply(making)
    _name_centres(making, (piece, yoke), centre[0])
    _sew(making, side, yoke, piece)


def _refuse_no_room(making: Making, side: str, level: float) -> None:
    """Raises: BadChoice where the neckline or a dart reaches the yoke line."""
    if making.run_path(f"{side} neck").end.y < level + _YOKE_ROOM:
        raise BadChoice(
            f"the neckline is cut so deep that no {side} yoke is left below it; cut it less deep, or leave "
            "the yoke away",
            field="yoke",
        )
    if any(dart.apex.y > level - _YOKE_ROOM for dart in making.shell(side).darts):
        raise BadChoice(f"a dart of the {side} reaches the yoke line; leave the yoke away", field="yoke")


def _centre_at(sketch: Sketch, level: float) -> Place:
    """The place at a level on the edge that ends the piece at the centre."""
    across = Line(Point(-1e4, level), Point(1e4, level))
    met = [(point, stroke) for stroke in sketch.strokes for point in intersect(stroke.path, across)]
    point, stroke = min(met, key=lambda one: one[0].x)
    return stroke.name, distance(stroke.path.start, point)


def _name_centres(making: Making, pieces: tuple[str, str], edge: str) -> None:
    """Call the halves of the centre's edge as it was called: they are on two pieces now."""
    for name in pieces:
        sketch = making.sketches[name]
        half = next(stroke.name for stroke in sketch.strokes if stroke.name in halves_of(edge))
        relabelled(sketch, {half: edge}).apply(making)


def _sew(making: Making, side: str, yoke: str, piece: str) -> None:
    making.sew(Phase.PANELS, yoke, run(yoke, _YOKE_SEAM), run(piece, _YOKE_SEAM))
    ends = [seam_corners(making.sketches[name], _YOKE_SEAM) for name in (yoke, piece)]
    for what, upper, lower in zip(("centre", "armhole"), *ends, strict=True):
        corners = (Corner(yoke, _YOKE_SEAM, upper), Corner(piece, _YOKE_SEAM, lower))
        making.smooth(f"{side} {what} across the yoke seam", *corners)
