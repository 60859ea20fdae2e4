"""Simple trousers: two legs on a waistband or on elastic."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from math import ceil

from drafting.blocks.bodice import dart_legs
from drafting.blocks.sketch import Sketch, Stroke
from drafting.blocks.trousers import Leg, LegSizes, TopShape, draft_leg
from drafting.errors import BadChoice, CannotDraft
from drafting.geometry import Path, Point
from drafting.making import Corner, Making, Phase, Width, run
from drafting.pattern import Cut, Dart, EdgeKind, Finished, MarkKind, Method
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.closures import FLY
from drafting.styles.parts.fly import add_fly
from drafting.styles.parts.skirts.hanging import SIDES, seam_stroke
from drafting.styles.parts.skirts.joining import close_sides, hip_girth, join_waist
from drafting.styles.parts.uppers import meeting

_LEGS = {"straight": (0.22, 0.22), "tapered": (0.215, 0.17), "wide": (0.27, 0.29)}
"""Half the leg's girth at knee and hem, of the hip girth (common practice, no source)."""
_FOOT = 0.1  # of stature: half of the least girth that a heel passes (common practice, no source)
_KNEE = 0.35  # of the way from crotch to floor: the leg is shaped no higher
_FLOOR = 0.025  # of stature: how far trousers end above the floor
_OPENS = 0.75  # of the centre seam: a zip in it ends no lower (common practice, no source)
_SHORTEST = 40.0  # mm of inside leg
_DART = {"front": 0.6, "back": 0.8}  # length of a dart, of the hip level
_FRONT_DARTS, _BACK_DARTS = (1, 2), 2  # at most; in front a second only where one does not do
_CENTRE = {"front": 0.1, "back": 0.25}  # of what hip and waist differ, taken by the centre seam
_SIDE, _SIDE_MOST = 0.35, (25.0, 32.0, 40.0, 48.0)  # of it by the side; mm at most, tried in turn

LEG = Choice(
    "leg", "Leg", "option", "straight", (("straight", "straight"), ("tapered", "tapered"), ("wide", "wide"))
)
LENGTH = Choice(
    "trouser_length",
    "Length from the waist",
    "length",
    0.0,
    low=120.0,
    high=1600.0,
    help="At the side, below the waistband. Left empty, or 0, to above the floor.",
)


@dataclass(frozen=True, slots=True)
class _Most:
    """What a quarter is taken in by at most: mm at the side, and darts in front."""

    at_side: float
    front_darts: int


@dataclass(frozen=True, slots=True)
class Trousers:
    """Hang from the waistband that was drawn before them."""

    choices: tuple[Choice, ...] = (LEG, LENGTH)
    needs: tuple[str, ...] = (
        "stature",
        "waist_girth",
        "hip_girth",
        "waist_to_hip",
        "body_rise",
        "waist_to_knee",
        "waist_height",
    )
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Draw the legs and join them. Raises: BadChoice, CannotDraft."""
        sizes = _sizes(making)
        widths = []
        for side, leg in _legs(making, sizes).items():
            _add(making, side, leg, sizes)
            widths.append(Width(f"trouser {side}", *leg.hip))
        _sew(making)
        if making.centres["front"].kind == FLY:
            add_fly(making, "trouser front")
        hip_girth(making, widths)
        _measure(making, sizes)


def _sizes(making: Making) -> LegSizes:
    body, house = making.body, making.house
    crotch = body["body_rise"] + house["crotch_ease"]
    # A baby's crotch hangs as low as its knee: the leg is shaped below it.
    knee_level = max(body["waist_to_knee"], crotch + _KNEE * (body["waist_height"] - crotch))
    knee, hem = (share * body["hip_girth"] for share in _LEGS[making.chosen("leg", "straight")])
    return LegSizes(
        (body["hip_girth"] + house["hip_ease"]) / 4,
        body["hip_girth"],
        body["waist_to_hip"],
        crotch,
        knee_level,
        _length(making),
        max(knee, _FOOT * body["stature"]),
        max(hem, _FOOT * body["stature"]),
    )


def _length(making: Making) -> float:
    body = making.body
    shortest = body["body_rise"] + making.house["crotch_ease"] + _SHORTEST
    longest = body["waist_height"] - 5.0
    if longest < shortest:
        raise CannotDraft(
            "the body rise is so long that no leg is left; measure body rise and waist height again",
            field="body_rise",
        )
    usual = max(body["waist_height"] - _FLOOR * body["stature"], shortest)
    length = making.length("trouser_length", usual)
    if not shortest <= length <= longest:
        raise BadChoice(
            f"trousers of {length:.0f} mm: they must end between {ceil(shortest):d} mm (below the crotch) "
            f"and {longest:.0f} mm (above the floor)",
            field="trouser_length",
        )
    return length


def _legs(making: Making, sizes: LegSizes) -> dict[str, Leg]:
    """Front and back; where darts do not take in enough, the sides take more, alike on both, and then each
    front a second dart.

    Raises: CannotDraft where that is not enough, either.
    """
    *others, last = (_Most(at_side, darts) for darts in _FRONT_DARTS for at_side in _SIDE_MOST)
    for most in others:
        with suppress(CannotDraft):
            return {side: _leg(making, side, sizes, most) for side in SIDES}
    return {side: _leg(making, side, sizes, last) for side in SIDES}


def _leg(making: Making, side: str, sizes: LegSizes, most: _Most) -> Leg:
    waist = making.run_length(making.lines[f"{side} waist"])
    intake = sizes.quarter_hip - waist
    return draft_leg(side, waist, sizes, _shape(making, side, intake, sizes.hip_level, most))


def _shape(making: Making, side: str, intake: float, hip_level: float, most: _Most) -> TopShape:
    """How the waist is taken in; little to take in needs no dart."""
    house, side_most = making.house, most.at_side
    darts = most.front_darts if side == "front" else _BACK_DARTS
    dart = _DART[side] * hip_level
    at_side = min(_SIDE * side_most / _SIDE_MOST[0] * intake, side_most)
    centre = _CENTRE[side] * intake
    rest = intake - at_side - centre
    if rest < house["dart_least"]:
        return TopShape(at_side, centre, 0, dart)
    return TopShape(at_side, centre, min(darts, ceil(rest / house["dart_greatest"])), dart)


def _add(making: Making, side: str, leg: Leg, sizes: LegSizes) -> None:
    house, name = making.house, f"trouser {side}"
    waist, darts = _waist(making, leg)
    sketch = Sketch(
        name,
        [
            *waist,
            Stroke("side", leg.side, EdgeKind.SEAM, house["side_allowance"]),
            Stroke("hem", leg.hem, EdgeKind.HEM, min(house["trouser_hem_depth"], 0.08 * sizes.length)),
            Stroke("inseam", leg.inseam, EdgeKind.SEAM, house["seam_allowance"]),
            *_centre(making, side, leg.centre),
        ],
        (Cut("shell", 2, mirrored=True),),
        (Point(leg.crease, -0.85 * sizes.length), Point(leg.crease, -0.3 * sizes.length)),
        is_front=side == "front",
        darts=darts,
        turned=("hem",),
    )
    line = Path.line(Point(leg.crease, -sizes.crotch_level), Point(leg.crease, -sizes.length))
    sketch.mark("crease", MarkKind.GUIDE, line)
    making.add(sketch)
    making.shells[name] = name
    seams = (stroke.name for stroke in waist if stroke.kind is EdgeKind.SEAM)
    making.lines |= {
        f"{name} waist": run(name, *seams),
        f"{name} side": run(name, "side"),
        f"{name} hem": run(name, "hem"),
    }


def _centre(making: Making, side: str, path: Path) -> list[Stroke]:
    """The crotch seam upward, parted where a zip in it ends."""
    house, depth, name = making.house, making.centres[side].depth, f"centre {side}"
    if not depth:
        return [Stroke(name, path, EdgeKind.SEAM, house["seam_allowance"])]
    opening, seam = path.split_at(min(depth, _OPENS * path.length))
    return [
        Stroke(f"{name} seam", seam, EdgeKind.SEAM, house["seam_allowance"]),
        Stroke(name, opening, EdgeKind.OPENING, house["zip_allowance"]),
    ]


def _crotch_edge(making: Making, side: str) -> str:
    """The edge of the centre that is sewn, down to the inside leg."""
    return f"centre {side} seam" if making.centres[side].depth else f"centre {side}"


def _waist(making: Making, leg: Leg) -> tuple[list[Stroke], list[Dart]]:
    strokes, darts = [seam_stroke(making, "waist centre", leg.waist[0])], []
    for k, (dart, after) in enumerate(zip(leg.darts, leg.waist[1:], strict=True), start=1):
        names = f"waist dart {k} inner", f"waist dart {k} outer"
        legs = zip(names, dart_legs(dart), strict=True)
        strokes += [Stroke(name, path, EdgeKind.DART) for name, path in legs]
        strokes.append(seam_stroke(making, f"waist {k + 1}", after))
        darts.append(Dart("", f"waist dart {k}", dart.inner, dart.apex, dart.outer, names))
    return strokes, darts


def _sew(making: Making) -> None:
    front, back = "trouser front", "trouser back"
    for side in SIDES:
        join_waist(making, side, f"trouser {side}", Method.PLAIN, ease=0.0)
    close_sides(making, (front, back), "of the trousers", Phase.SIDES)
    making.sew(Phase.SIDES, "inside leg", run(front, "inseam"), run(back, "inseam"))
    for side in SIDES:
        centre = run(f"trouser {side}", _crotch_edge(making, side))
        making.sew(Phase.SKIRT, f"crotch seam, {side}", centre, centre, times=1)
        making.square(
            f"waist at the centre {side}", Corner(f"trouser {side}", "waist centre", f"centre {side}")
        )
    making.smooth(
        "crotch seam at the inside leg",
        *(Corner(f"trouser {s}", "inseam", _crotch_edge(making, s)) for s in SIDES),
    )
    making.smooth("hem at the inside leg", *(Corner(f"trouser {s}", "hem", "inseam") for s in SIDES))
    for line in ("waist", "hem"):
        corners = (meeting(making, f"trouser {s}", line, "side", last=line == "hem") for s in SIDES)
        making.smooth(f"{line} of the trousers at the side", *corners)
    making.note(
        Phase.SKIRT,
        "Sew each leg; put one leg into the other, right sides together, and sew the crotch seam in one from "
        "waist to waist, its curve twice.",
    )


def _measure(making: Making, sizes: LegSizes) -> None:
    inside = making.run_length(run("trouser front", "inseam"))
    around = sum(making.run_length(making.lines[f"trouser {side} hem"]) for side in SIDES)
    making.finished += [
        Finished("outside leg below the waistband", making.run_length(making.lines["trouser front side"])),
        Finished("inside leg", inside),
        Finished("crotch depth", sizes.crotch_level, making.body["body_rise"]),
        Finished("leg at the hem", around),
    ]
