"""Collars that are set on to a neckline: which, how wide, and how they are made up and joined."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import floor

from drafting.cautions import is_young
from drafting.details.collars.flat import flat_collar, laid_together, smoothed
from drafting.details.collars.leaf import Ends, Leaf, along_neck, leaf_sketch
from drafting.details.collars.standing import RISE_SHARE, band, pointed, shirt_stand
from drafting.details.collars.tie import tie_band
from drafting.errors import BadChoice
from drafting.geometry import Path, Point, lerp
from drafting.making import Corner, Making, Phase, Run, back_along, run
from drafting.pattern import EdgeKind, Finished, MarkKind, Method, NotionNeed
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.armholes import child_share
from drafting.styles.parts.closures import BACK_ZIP, NONE
from drafting.styles.parts.plackets import neck_extension

NO_COLLAR, FLAT, STAND, TURNOVER, SHIRT, TIE = "none", "flat", "stand", "turnover", "shirt", "tie"
LABELS = {
    NO_COLLAR: "none",
    FLAT: "flat collar",
    STAND: "standing collar",
    TURNOVER: "turned-over collar",
    SHIRT: "shirt collar on a stand",
    TIE: "tie collar",
}
_AT_THE_BASE = (STAND, TURNOVER, SHIRT, TIE)
_LEAST_STAND = 12.0  # mm: a lower one cannot be turned (common practice, no source)
_FAR = 25.0  # mm below or beside the neck's base: a standing collar would stand off the neck there
_CLASHES = (
    Clash(
        "collar",
        (FLAT, *_AT_THE_BASE),
        "neckline",
        ("square", "boat", "keyhole"),
        "A collar is set on a round, scooped or V neckline, not round a corner, a boat neck or a keyhole.",
    ),
    Clash(
        "collar",
        _AT_THE_BASE,
        "neckline",
        ("scoop", "v"),
        "This collar stands at the neck's base: choose the round neckline, or a flat collar.",
    ),
    Clash(
        "collar",
        (SHIRT, TIE),
        "closure",
        (BACK_ZIP, NONE),
        "This collar opens in front: choose buttons down the front.",
    ),
    Clash(
        "collar",
        (STAND, TURNOVER),
        "closure",
        (NONE,),
        "A collar at the neck's base does not pass over the head: choose a zip or buttons.",
    ),
)


@dataclass(frozen=True, slots=True)
class Collar:
    """The collars that a style offers, the first its default; comes after the neckline."""

    offered: tuple[str, ...] = (NO_COLLAR, FLAT, STAND, TURNOVER, SHIRT, TIE)
    needs: tuple[str, ...] = ("stature",)
    clashes: tuple[Clash, ...] = _CLASHES

    @property
    def choices(self) -> tuple[Choice, ...]:
        options = tuple((name, LABELS[name]) for name in self.offered)
        by_house = "Left empty, or 0, it follows the house rule, in proportion to the wearer."
        collars = tuple(kind for kind in self.offered if kind != NO_COLLAR)
        return (
            Choice("collar", "Collar", "option", self.offered[0], options),
            Choice(
                "collar_width",
                "Width of the collar",
                "length",
                0.0,
                low=12.0,
                high=200.0,
                help=by_house,
                only_with=("collar", collars),
            ),
            Choice(
                "collar_shape",
                "Front of a flat collar",
                "option",
                "rounded",
                (("rounded", "rounded"), ("pointed", "pointed")),
                only_with=("collar", (FLAT,)),
            ),
        )

    def make(self, making: Making) -> None:
        """Draw the collar and set it on. Raises: BadChoice."""
        kind = making.chosen("collar", self.offered[0])
        if kind == NO_COLLAR:
            return
        _refuse(making, kind)
        _MAKERS[kind](making)


def _refuse(making: Making, kind: str) -> None:
    if kind in {SHIRT, TIE} and not making.centre("front").buttoned:
        raise BadChoice("This collar opens in front: choose buttons down the front.", field="collar")
    if kind == TIE:
        _refuse_ties(making)
    if kind in _AT_THE_BASE:
        for name in ("neck_width", "neck_depth", "neck_depth_back"):
            if making.length(name, 0.0) > _FAR:
                raise BadChoice(
                    f"This collar stands at the neck's base: a neckline more than {_FAR:.0f} mm away from it "
                    "goes with a flat collar.",
                    field=name,
                )


def _refuse_ties(making: Making) -> None:
    """Raises: BadChoice for children. Source: EN 14682 (summaries)."""
    if is_young(making.body):
        raise BadChoice(
            "No ties at the neck for children up to 7 years or 134 cm (EN 14682): choose another collar.",
            field="collar",
        )
    if making.body.is_child:
        raise BadChoice(
            "No free ends at the neck for children under 14 years (EN 14682): choose another collar.",
            field="collar",
        )


# The neckline


def _half_neck(making: Making) -> Run:
    """From the centre back round to the centre front."""
    return back_along(making.lines["back neck"]) + making.lines["front neck"]


def _length(making: Making) -> float:
    return making.run_length(_half_neck(making))


def _ends(making: Making, *, parted_in_front: bool) -> Ends:
    """A collar is parted where the garment opens; a flat one and one turned over in front always."""
    front_fold = not parted_in_front and not making.centre("front").parted
    return Ends(not making.centre("back").halved and not front_fold, front_fold)


def _width(making: Making, rule: str, *, low: float, high: float) -> float:
    """The width chosen or the house's, mm. Raises: BadChoice outside what this wearer allows."""
    wished = making.length("collar_width", making.house[rule] * child_share(making))
    if not making.length("collar_width", 0.0):
        return min(max(wished, low), high)
    if not low <= wished <= high + 1e-6:
        raise BadChoice(
            f"a collar {wished:.0f} mm wide: for this wearer it is between {low:.0f} and {floor(high):d} mm",
            field="collar_width",
        )
    return wished


# Each kind


def _flat(making: Making) -> None:
    back, front = making.run_path("back neck"), making.run_path("front neck")
    shoulders = making.run_path("back shoulder"), making.run_path("front shoulder")
    overlap = min(making.house["collar_overlap"] * child_share(making), 0.4 * shoulders[0].length)
    laid, down = laid_together(back, shoulders[0], front, shoulders[1], overlap)
    width = _width(making, "flat_collar_width", low=18.0, high=0.9 * shoulders[1].length)
    leaf = flat_collar(
        smoothed(laid, back.length), down, width, rounded=making.chosen("collar_shape") == "rounded"
    )
    _two_layers(making, leaf, _ends(making, parted_in_front=True), phase=Phase.FACINGS)
    making.note(
        Phase.FACINGS,
        "Flat collar: interface the under-collar; sew it to the collar round the outer edge, grade, clip, "
        "turn and press so that the seam rolls under; baste it to the neckline, ends at the centre, before "
        "the neckline is finished over it.",
    )


def _stand(making: Making) -> None:
    height = _width(making, "collar_stand", low=_LEAST_STAND, high=64.0 * child_share(making))
    leaf = band(_length(making), height, RISE_SHARE * height)
    _two_layers(making, leaf, _ends(making, parted_in_front=False), phase=Phase.NECK, grain=along_neck(leaf))
    making.note(
        Phase.NECK,
        "Standing collar: interface the under-collar; sew the two round top and ends, grade, clip and turn; "
        "sew the outer layer to the neckline, turn the inner one under and fell it to the seam.",
    )


def _turnover(making: Making) -> None:
    share = child_share(making)
    stand = making.house["collar_stand"] * share
    width = _width(making, "turnover_width", low=stand + 22.0, high=130.0 * share)
    flat = band(_length(making), width, -0.08 * width)
    leaf = pointed(flat, longer=0.1 * width, outward=0.25 * width)
    pieces = _two_layers(making, leaf, _ends(making, parted_in_front=True), phase=Phase.FACINGS)
    roll = _beside(leaf.neck, stand)
    for name in pieces:
        making.sketches[name].mark("roll of the collar", MarkKind.GUIDE, roll)
    making.note(
        Phase.FACINGS,
        "Turned-over collar: make it up as marked, turn it over its roll line and steam it so; baste it to "
        "the neckline before the neckline is finished over it.",
    )


def _beside(neck: Path, by: float) -> Path:
    """Where a band turns over: its height falls to nothing at the front end."""
    rise = Point(0.0, by)
    start = neck.start + rise
    return Path.cubic(
        start,
        neck.point_at(neck.length / 3) + rise,
        neck.point_at(0.75 * neck.length) + rise * 0.8,
        neck.end,
    )


def _shirt(making: Making) -> None:
    share, house = child_share(making), making.house
    height = max(house["collar_stand"] * share, _LEAST_STAND)
    extension = making.centre("front").extension
    fall_width = _width(making, "collar_fall", low=height + 10.0, high=120.0 * share)
    half = _length(making)
    stand, top = shirt_stand(half, extension, height, RISE_SHARE * height)
    ends, allowance = Ends(back_fold=True, front_fold=False), house["enclosed_allowance"]
    for name, interfaced in (("collar stand", True), ("inner collar stand", False)):
        making.add(
            leaf_sketch(
                name,
                stand,
                ends,
                allowance=allowance,
                interfaced=interfaced,
                word="stand",
                grain=along_neck(stand),
            )
        )
    _shirt_button(making, stand, half)
    flat = band(top.length, fall_width, -0.12 * fall_width)
    leaf = pointed(flat, longer=0.22 * fall_width, outward=0.3 * fall_width)
    pieces = _layers(making, leaf, ends)
    outer, inner = "collar stand", "inner collar stand"
    making.sew(Phase.FACINGS, "collar to its stand", run(pieces[1], "collar neck"), run(outer, "stand edge"))
    making.sew(
        Phase.FACINGS,
        "collar to the inner stand",
        run(pieces[0], "collar neck"),
        run(inner, "stand edge"),
        Method.LINED,
    )
    making.sew(
        Phase.FACINGS, "ends of the stand", run(inner, "stand end"), run(outer, "stand end"), Method.ENCLOSED
    )
    neck = _half_neck(making) + neck_extension(making)
    _to_neck(making, run(outer, "stand neck"), run(inner, "stand neck"), neck, Phase.NECK)
    making.finished.append(Finished("collar stand", height))
    making.note(
        Phase.NECK,
        "Shirt collar: make up the fall, sew it between the two stands to the centre-front marks; sew the "
        "outer stand to the neckline over the button stand, turn the inner one under and edge-stitch it.",
    )


def _shirt_button(making: Making, stand: Leaf, half: float) -> None:
    """A button and its hole where the stand crosses the centre front, half-way up."""
    foot, along = stand.neck.point_at(half), stand.neck.tangent_at(half)
    place = lerp(foot, stand.edge.end, 0.5)
    diameter = making.house["button_diameter"]
    sketch = making.sketches["collar stand"]
    hole = diameter + making.house["button_thickness"]
    sketch.mark(
        "buttonhole (right end)",
        MarkKind.BUTTONHOLE,
        Path.line(place + along * 3.0, place - along * (hole - 3.0)),
    )
    up = Point(-along.y, along.x) * 1.5
    sketch.mark("button (left end)", MarkKind.BUTTON, Path.line(place - up, place + up))
    making.notions.append(NotionNeed("button", 1, diameter, "on the collar stand"))


def _tie(making: Making) -> None:
    share, house = child_share(making), making.house
    width = _width(making, "tie_width", low=12.0, high=90.0)
    sketch = tie_band(
        "collar", _length(making), house["tie_length"] * share, width, house["enclosed_allowance"]
    )
    making.add(sketch)
    for one, other in (("tie lower", "tie upper"), ("tie end lower", "tie end upper")):
        making.sew(Phase.FACINGS, one, run("collar", one), run("collar", other), Method.ENCLOSED)
    neck = _half_neck(making)
    _to_neck(making, run("collar", "collar neck"), run("collar", "inner collar neck"), neck, Phase.NECK)
    making.finished.append(Finished("ties from the centre front", house["tie_length"] * share))
    making.note(
        Phase.NECK,
        "Tie collar: fold it lengthwise, sew the ties from their ends to the centre front, turn; sew one "
        "edge to the neckline from centre front to centre front, turn the other under and fell it down.",
    )


# Layers and seams


def _two_layers(
    making: Making, leaf: Leaf, ends: Ends, *, phase: Phase, grain: tuple[Point, Point] | None = None
) -> tuple[str, str]:
    """Collar and under-collar, made up and set on to the neckline."""
    pieces = _layers(making, leaf, ends, grain)
    upper, under = pieces
    _to_neck(making, run(under, "collar neck"), run(upper, "collar neck"), _half_neck(making), phase)
    return pieces


def _layers(
    making: Making, leaf: Leaf, ends: Ends, grain: tuple[Point, Point] | None = None
) -> tuple[str, str]:
    """Collar and under-collar sewn together round their outer edge; the under-collar is interfaced."""
    pieces = "collar", "under-collar"
    allowance = making.house["enclosed_allowance"]
    for name in pieces:
        making.add(
            leaf_sketch(name, leaf, ends, allowance=allowance, interfaced=name != "collar", grain=grain)
        )
    for edge in ("collar edge", "collar end", "collar back"):
        if making.sketches["collar"].stroke(edge).kind is EdgeKind.SEAM:
            both = run("collar", edge), run("under-collar", edge)
            making.sew(Phase.FACINGS, edge, *both, Method.ENCLOSED)
    for edge in ("collar edge", "collar neck"):
        if ends.back_fold:
            making.square(f"{edge} at the centre back", Corner("collar", edge, "collar back"))
        if ends.front_fold:
            making.square(f"{edge} at the centre front", Corner("collar", edge, "collar end"))
    making.finished.append(Finished("collar width at the centre back", leaf.back.length))
    return pieces


def _to_neck(making: Making, outer: Run, inner: Run, neck: Run, phase: Phase) -> None:
    """The layer next to the garment is sewn to the neckline, the other encloses the seam or lies in it."""
    making.sew(phase, "collar to the neckline", outer, neck)
    making.sew(phase, "inner edge of the collar", inner, neck, Method.LINED)


_MAKERS: Mapping[str, Callable[[Making], None]] = {
    FLAT: _flat,
    STAND: _stand,
    TURNOVER: _turnover,
    SHIRT: _shirt,
    TIE: _tie,
}
