"""The neckline: its shape, how wide and how deep it is, and what finishes it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil, floor

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.necklines import (
    BOAT,
    KEYHOLE,
    ROUND,
    SCOOP,
    SQUARE,
    VEE,
    Half,
    NeckSize,
    back_neck,
    cut_neck,
    front_neck,
    house_size,
    lowest,
    opened,
    runs_on,
    shoulder_angle,
    widest,
)
from drafting.errors import BadChoice
from drafting.geometry import distance
from drafting.making import Corner, Making, Phase
from drafting.pattern import Finished
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.armholes import child_share
from drafting.styles.parts.closures import FRONT_BUTTONS, HOOK, NONE, PLACKETS
from drafting.styles.parts.neck_finishes import BIAS, FACING, FINISHES, finish_neck
from drafting.styles.parts.uppers import meeting

LABELS = {
    ROUND: "round, at the neck's base",
    SCOOP: "scooped",
    VEE: "V",
    SQUARE: "square",
    BOAT: "boat",
    KEYHOLE: "round, with a keyhole and a button loop",
}
_BY_HOUSE = "Left empty, or 0, it follows the shape, in proportion to the wearer."
_SIZES = (
    Choice(
        "neck_width",
        "Neckline wider, on each shoulder",
        "length",
        0.0,
        low=3.0,
        high=200.0,
        help=f"Outward from the neck's base along the shoulder seam. {_BY_HOUSE}",
    ),
    Choice(
        "neck_depth",
        "Neckline lower in front",
        "length",
        0.0,
        low=3.0,
        high=400.0,
        help=f"Below the neck's base at the centre front. {_BY_HOUSE}",
    ),
    Choice(
        "neck_depth_back",
        "Neckline lower at the back",
        "length",
        0.0,
        low=3.0,
        high=400.0,
        help=f"Below the nape. {_BY_HOUSE}",
    ),
)
_CLASHES = (
    Clash(
        "neckline",
        (KEYHOLE,),
        "closure",
        (FRONT_BUTTONS, *PLACKETS),
        "A keyhole opens a front that is cut in one: it does not go with buttons down the front.",
    ),
    Clash(
        "neckline",
        (KEYHOLE,),
        "closure",
        (HOOK,),
        "A keyhole opens the neck already: choose another neckline, or no closure.",
    ),
    Clash(
        "closure",
        (HOOK,),
        "neck_finish",
        (BIAS,),
        "A slit is finished with the facing that it is sewn to: choose a facing for the neckline.",
    ),
    Clash(
        "neckline",
        (SQUARE, VEE, KEYHOLE),
        "neck_finish",
        (BIAS,),
        "A bias strip cannot be turned in a sharp corner or round a keyhole: choose a facing.",
    ),
    Clash(
        "closure",
        (FRONT_BUTTONS,),
        "neck_finish",
        (BIAS,),
        "Buttons down the front need a facing to carry them: choose a facing for the neckline.",
    ),
)
_MEETS = 1e-6  # mm
KEYHOLE_LENGTH, KEYHOLE_LEAST = 95.0, 30.0  # mm, of a grown neck (common practice, no source)
HEAD_EASE = 20.0  # mm that a closed neckline is longer than the head (common practice, no source)


@dataclass(frozen=True, slots=True)
class Neckline:
    """The shapes and finishes that a style offers, the first of each its default."""

    offered: tuple[str, ...] = (ROUND, SCOOP, VEE, SQUARE, BOAT, KEYHOLE)
    finishes: tuple[str, ...] = (FACING, BIAS)
    needs: tuple[str, ...] = ("neck_base_girth", "shoulder_length")
    clashes: tuple[Clash, ...] = _CLASHES

    @property
    def choices(self) -> tuple[Choice, ...]:
        found = []
        if len(self.offered) > 1:
            options = tuple((name, LABELS[name]) for name in self.offered)
            found.append(Choice("neckline", "Neckline", "option", self.offered[0], options))
        found += _SIZES
        if len(self.finishes) > 1:
            options = tuple((name, FINISHES[name]) for name in self.finishes)
            found.append(Choice("neck_finish", "Neckline finished with", "option", self.finishes[0], options))
        return tuple(found)

    def make(self, making: Making) -> None:
        """Cut the neckline into front and back and finish it. Raises: BadChoice."""
        shape = making.chosen("neckline", self.offered[0])
        front, back = _half(making, "front"), _half(making, "back")
        size = _chosen_size(making, shape, front, back)
        slit = _keyhole(making, front, size) if shape == KEYHOLE else 0.0
        opened_by = max(slit, making.centre("front").depth, making.centre("back").depth)
        size = _over_the_head(making, shape, size, (front, back), opened_by)
        in_front = front_neck(shape, front, size)
        angle = shoulder_angle(front, in_front)
        cut_neck(making.shell("front"), in_front, _names(making, "front"))
        cut_neck(making.shell("back"), back_neck(back, size, angle), _names(making, "back"))
        _say_what_runs_on(making, shape, angle)
        _measure(making)
        finish_neck(making, making.chosen("neck_finish", self.finishes[0]), slit=slit)


def _names(making: Making, side: str) -> tuple[str, str]:
    neck, shoulder = (making.lines[f"{side} {line}"][0].edge for line in ("neck", "shoulder"))
    return neck, shoulder


def _half(making: Making, side: str) -> Half:
    """The neck's base; a neckline ends above the armhole line and above every dart's point."""
    sketch = making.shell(side)
    under = making.run_path(f"{side} armhole").end.y
    points = [dart.apex.y for dart in sketch.darts]
    neck, shoulder = _names(making, side)
    return Half(sketch.path(neck), sketch.path(shoulder), max([under, *points]))


def _chosen_size(making: Making, shape: str, front: Half, back: Half) -> NeckSize:
    own = house_size(shape, front, back)
    return NeckSize(
        _within(making, "neck_width", own.wider, widest(front), "leaves too little of the shoulder seam"),
        _within(making, "neck_depth", own.lower, lowest(front), "would cut into the darts or the armhole"),
        _within(
            making, "neck_depth_back", own.back_lower, lowest(back), "would cut into the darts or the armhole"
        ),
    )


def _within(making: Making, name: str, otherwise: float, most: float, why: str) -> float:
    """The length chosen. Raises: BadChoice where it is more than this wearer allows."""
    wished = making.length(name, otherwise)
    if wished > most + 1e-6:
        raise BadChoice(
            f"{wished:.0f} mm {why}: for this wearer choose at most {floor(most):d} mm", field=name
        )
    return wished


def _keyhole(making: Making, front: Half, size: NeckSize) -> float:
    """The length of the keyhole's slit, mm. Raises: BadChoice where the neckline leaves no room for it."""
    room = 0.7 * (lowest(front) - size.lower)
    if room < KEYHOLE_LEAST:
        raise BadChoice(
            "so deep a neckline leaves no room for a keyhole below it: choose it less deep, or another shape",
            field="neck_depth",
        )
    return min(KEYHOLE_LENGTH * child_share(making), room)


def _over_the_head(
    making: Making, shape: str, size: NeckSize, halves: tuple[Half, Half], slit: float
) -> NeckSize:
    """Widen what was left to the house until a garment without opening passes over the head."""
    if any(making.centres[side].kind in {"zip", "buttons"} for side in ("front", "back")):
        return size
    need = head_girth(making.body["stature"]) + HEAD_EASE - 2 * slit
    for step in range(11):
        tried = _kept(making, size, opened(size, *halves, step / 10))
        if opening(shape, tried, *halves) >= need:
            return tried
    passes = opening(shape, tried, *halves)
    if _may_be_slit(making, shape):
        _slit_behind(making, (need - passes) / 2)
        return tried
    raise _too_narrow(making, passes, need)


def _may_be_slit(making: Making, shape: str) -> bool:
    """Whether the back may open in a slit although nobody chose one: nothing else opens or sizes the neck.

    Babies have large heads on small necks: a workshop would not send them away for a few millimetres.
    """
    return (
        making.chosen("closure") == NONE
        and shape != KEYHOLE
        and making.chosen("neck_finish", FACING) == FACING
        and making.chosen("lining", "none") == "none"
        and not any(making.length(name, 0.0) for name in ("neck_width", "neck_depth"))
    )


def _slit_behind(making: Making, lacking: float) -> None:
    """Open the back in a slit with a hook, as the closure of that name does, and deep enough."""
    depth = max(making.house["back_slit"] * child_share(making), lacking)
    making.centres["back"] = replace(making.centre("back"), depth=depth)
    making.note(
        Phase.NECK,
        "The neckline is narrower than the head, so the back opens in a slit although no closure was chosen.",
    )


def _kept(making: Making, size: NeckSize, other: NeckSize) -> NeckSize:
    """``other``, with what was chosen left as it is."""
    return NeckSize(
        size.wider if making.length("neck_width", 0.0) else other.wider,
        size.lower if making.length("neck_depth", 0.0) else other.lower,
        size.back_lower if making.length("neck_depth_back", 0.0) else other.back_lower,
    )


def _too_narrow(making: Making, length: float, need: float) -> BadChoice:
    said = f"a neckline of {length:.0f} mm does not pass over a head, which needs about {ceil(need):d} mm: "
    for name in ("neck_width", "neck_depth"):
        if making.length(name, 0.0):
            return BadChoice(f"{said}choose a wider or deeper neckline, or a closure", field=name)
    return BadChoice(f"{said}choose a closure, or a facing and a neckline that may be slit", field="closure")


def opening(shape: str, size: NeckSize, front: Half, back: Half) -> float:
    """The whole neckline of these sizes, mm."""
    in_front = front_neck(shape, front, size)
    return 2 * (in_front.length + back_neck(back, size, shoulder_angle(front, in_front)).length)


def head_girth(stature: float) -> float:
    """A generous head girth for a stature, mm: it only decides whether a closed neckline passes over it.

    Source: from memory, medians of the WHO's head circumference for age (400 mm at 60 cm, 455 at 75,
    505 at 110), and 565 from 160 cm upward (US Army survey of 1988: women 546, sd 15).
    """
    known = ((600.0, 400.0), (750.0, 455.0), (1100.0, 505.0), (1600.0, 565.0))
    for (low, small), (high, large) in pairwise(known):
        if stature <= high:
            return small + (large - small) * max(stature - low, 0.0) / (high - low)
    return known[-1][1]


def _say_what_runs_on(making: Making, shape: str, angle: float) -> None:
    """A V, or a neckline that leaves the shoulder at a sharp angle, has a corner there by intention."""
    if runs_on(angle):
        corners = [meeting(making, side, "neck", "shoulder") for side in ("front", "back")]
        making.smooth("neckline at the shoulder", *corners)
    for side in ("front", "back"):
        if side == "front" and (shape == VEE or making.centre(side).kind == "half placket"):
            continue  # a placket says what its own neckline does
        sketch, (neck, _) = making.shell(side), _names(making, side)
        corner = Corner(sketch.name, neck, _centre_of(sketch, neck).name)
        total = 180.0 if making.centre(side).kind == "buttons" else 90.0
        making.smooth(f"neckline at the centre {side}", corner, total_deg=total)


def _centre_of(sketch: Sketch, neck: str) -> Stroke:
    """The edge in which a neckline ends at the centre: the centre itself, or the top of a button stand."""
    end = sketch.path(neck).end
    return next(
        stroke
        for stroke in sketch.strokes
        if stroke.name != neck
        and min(distance(p, end) for p in (stroke.path.start, stroke.path.end)) < _MEETS
    )


def _measure(making: Making) -> None:
    lengths = [making.run_length(making.lines[f"{side} neck"]) for side in ("front", "back")]
    making.finished.append(Finished("neckline", 2 * sum(lengths), making.body["neck_base_girth"]))
