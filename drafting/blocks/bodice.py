"""The bodice block: back and front, each a quarter of the girth, side seams alike, waist sewn to measure.

Frame: x from the centre outward, y from the waist at the centre upward. Where the front is longer over the
bust than the back, a dart at the side seam turns the part above it about the dart's point: closed, the front
side seam is the back's, line for line.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, cos, radians, sin, sqrt, tan

from drafting.blocks import rules
from drafting.blocks.side import (
    BustDart,
    BustTurn,
    OpenedSide,
    Side,
    SideLevels,
    bust_turn,
    opened_side,
    shared_side,
)
from drafting.blocks.waist import DartPlace, WaistLine, fitted, waist_line
from drafting.body import Body
from drafting.errors import CannotDraft
from drafting.geometry import Cubic, Line, Path, Point, distance

_HOLLOW_WIDENS = 0.4  # mm on a half waist at most, by a hollow back
_DART_MARGIN = 4.0  # mm between what two darts take up, once pressed to one side


@dataclass(frozen=True, slots=True)
class Proportions:
    """The bodice's lengths, mm; heights are above the waist."""

    quarter_bust: float
    quarter_waist: float
    neck_width: float
    front_neck_depth: float
    half_shoulder: float
    across_back: float
    across_front: float
    nape: float
    back_neck: float  # height of the neck point on the back
    front_neck: float  # height of the neck point on the front
    armhole_line: float
    bust_line: float
    bust_point: float  # from the centre
    slope: float  # of the shoulder, radians
    rounded: float = 0.0  # how much longer the back is for its roundness
    hollow: float = 0.0  # how much shorter the back is at the centre of the waist


@dataclass(frozen=True, slots=True)
class WaistDart:
    """A dart open at the waist."""

    inner: Point
    apex: Point
    outer: Point


@dataclass(frozen=True, slots=True)
class Panel:
    """Half a back or half a front, without neck and centre (those belong to the style)."""

    neck: Point
    shoulder: Path  # from the neck outward
    armhole: Path  # from the shoulder down
    sides: tuple[Path, ...]  # downward; bust darts part them
    waist: WaistLine  # from the centre outward
    waist_darts: tuple[WaistDart, ...]
    bust_darts: tuple[BustDart, ...]  # from above downward; the first along the bust line
    bust_side: Point  # where the bust line meets the side seam
    armhole_notch: float  # along the armhole

    @property
    def underarm(self) -> Point:
        return self.armhole.end

    @property
    def waist_side(self) -> Point:
        return self.sides[-1].end


@dataclass(frozen=True, slots=True)
class Bodice:
    """The two panels and what they were drawn from."""

    proportions: Proportions
    back: Panel
    front: Panel


def proportions(body: Body, house: rules.House) -> Proportions:
    """Work out the bodice's lengths. Raises: CannotDraft, with the measurement at fault."""
    neck = rules.neck_width_for(body["armscye_depth"], body["neck_base_girth"], house)
    slope = radians(house["shoulder_slope_deg"] + body.fit_note("shoulder_slope"))
    own_half = body["neck_base_girth"] / 5 + body["shoulder_length"] * cos(slope)
    wished_across = body["back_width"] / 2 + house["across_ease"]
    # Without a sleeve a shoulder that stands out further would hang over the arm.
    widest = wished_across + 19.0 * rules.proportion(neck)
    half_shoulder = min(rules.half_shoulder_line(own_half, house), widest)
    quarter_bust = rules.quarter(body["bust_girth"], house["bust_ease"])
    straight = body["back_waist_length"]
    nape = straight + body.fit_note("rounded_back")
    back_neck = nape + house["back_neck_depth"]
    wished_front = body["front_waist_length"] + body.fit_note("front_length")
    front_neck = max(straight + house["back_neck_depth"], wished_front)
    armhole_line = straight - rules.armhole_line_depth(body["armscye_depth"], house)
    bust_point = min(body["bust_point_width"] / 2, 0.62 * quarter_bust)
    across_back = _across_back(body, house, half_shoulder, quarter_bust)
    drop = sqrt(max(body["neck_to_bust_point"] ** 2 - (bust_point - neck) ** 2, 1.0))
    bust_line = min(max(front_neck - drop, 0.42 * armhole_line), armhole_line - 0.2 * abs(armhole_line))
    made = Proportions(
        quarter_bust,
        rules.quarter(body["waist_girth"], house["waist_ease"]),
        neck,
        rules.front_neck_depth(neck),
        half_shoulder,
        across_back,
        _across_front(body, house, across_back, rules.proportion(neck)),
        nape,
        back_neck,
        front_neck,
        armhole_line,
        bust_line,
        bust_point,
        slope,
        body.fit_note("rounded_back"),
        body.fit_note("sway_back"),
    )
    _refuse_the_undraftable(made, body)
    return made


def _across_back(body: Body, house: rules.House, half_shoulder: float, quarter_bust: float) -> float:
    """Half the back between the armholes, near the shoulder's end and well inside the side seam."""
    wished = body["back_width"] / 2 + house["across_ease"]
    near_shoulder = min(max(wished, half_shoulder - 30.0), half_shoulder + 8.0)
    return min(near_shoulder, 0.9 * quarter_bust)


def _across_front(body: Body, house: rules.House, across_back: float, share: float) -> float:
    """By the trade's hollow; a chest width taken is followed, 1/4 to 1 1/4 in within the back's."""
    measured = body.measure("chest_width")
    if not measured.given:
        return across_back - share * (across_back - rules.front_hollow(across_back, house))
    wished = measured.value / 2 + house["across_ease"]
    return min(max(wished, across_back - 31.75), across_back - 6.35)


def _refuse_the_undraftable(p: Proportions, body: Body) -> None:
    if p.armhole_line < 0.12 * p.nape or p.armhole_line < 25:
        raise CannotDraft(
            f"an armhole depth of {body['armscye_depth']:.0f} mm leaves no side seam in a back of "
            f"{body['back_waist_length']:.0f} mm; measure both again",
            field="armscye_depth",
        )
    if p.half_shoulder - p.neck_width < 22:
        raise _no_shoulder_seam(p, body)
    drop = (p.half_shoulder - p.neck_width) * tan(p.slope)
    if p.back_neck - drop - p.armhole_line < 45:
        raise CannotDraft(
            f"an armhole depth of {body['armscye_depth']:.0f} mm is too little under a shoulder that slopes "
            f"{drop:.0f} mm; measure the armhole depth again",
            field="armscye_depth",
        )
    if p.quarter_bust - p.across_front < 12 or p.half_shoulder > 1.25 * p.quarter_bust:
        raise CannotDraft(
            f"shoulders {2 * p.half_shoulder:.0f} mm wide do not go with a bust of "
            f"{body['bust_girth']:.0f} mm; "
            "measure both again",
            field="back_width",
        )
    if body["front_waist_length"] < body["back_waist_length"] - 45:
        raise CannotDraft(
            f"a front {body['front_waist_length']:.0f} mm long is too short for a back of "
            f"{body['back_waist_length']:.0f} mm; measure both again",
            field="front_waist_length",
        )


def _no_shoulder_seam(p: Proportions, body: Body) -> CannotDraft:
    """The shoulder itself is too short, or the back is so narrow that the armhole cuts it off."""
    neck = f"a half neck {p.neck_width:.0f} mm wide"
    if body["shoulder_length"] * cos(p.slope) >= 40:
        return CannotDraft(
            f"a back {body['back_width']:.0f} mm wide leaves no shoulder seam beside {neck}; measure "
            "across the back and around the neck again",
            field="back_width",
        )
    return CannotDraft(
        f"a shoulder of {body['shoulder_length']:.0f} mm leaves no shoulder seam beside {neck}; measure "
        "shoulder and neck again",
        field="shoulder_length",
    )


@dataclass(frozen=True, slots=True)
class Shaping:
    """What a quarter is taken in by at the waist: at the side, and in ``count`` darts of ``each``, mm."""

    side: float
    each: float
    count: int


def waist_shaping(p: Proportions, house: rules.House) -> Shaping:
    """How the waist is taken in: at the side, and in how many darts. A waist wider than the bust has none.

    The side takes more than its share only where the darts would leave no room beside one another for what
    they take up.
    """
    first = max(p.bust_point, 0.43 * (p.quarter_bust - house["side_greatest"]))
    whole = p.quarter_bust - p.quarter_waist
    side = min(max(whole, 0.0) * house["side_share"], house["side_greatest"])
    intake = whole - side
    if intake < house["dart_least"]:
        return Shaping(whole, 0.0, 0)
    count = min(3, ceil(intake / house["dart_greatest"] - 0.01))
    intake = min(intake, max(p.quarter_waist - first - _DART_MARGIN * count, house["dart_least"]))
    return Shaping(whole - intake, intake / count, count)


def dart_places(p: Proportions, first: float, top: float, shaping: Shaping) -> list[DartPlace]:
    """Darts beside one another, the first highest."""
    room = p.quarter_bust - shaping.side - first
    # Between two darts there must be room for the take-up of one to lie on.
    step = min(shaping.each + max(24.0, shaping.each + _DART_MARGIN), room / max(shaping.count, 1))
    lowest = 0.5 * p.armhole_line
    return [DartPlace(first + k * step, max(top - 16.0 * k, lowest)) for k in range(shaping.count)]


def draft_bodice(body: Body, house: rules.House) -> Bodice:
    """Return the bodice block of a body. Raises: CannotDraft, with the measurement at fault."""
    p = proportions(body, house)
    shaping = waist_shaping(p, house)
    back_places = dart_places(p, back_dart(p, shaping), back_dart_top(p), shaping)
    front_places = dart_places(p, p.bust_point, front_dart_top(p, house), shaping)
    levels = SideLevels(p.quarter_bust, p.quarter_waist, p.armhole_line, p.bust_line)
    side = shared_side(levels, p.quarter_bust - shaping.side, back_places, shaping.each / 2)
    back = _panel(p, side, back_places, back_upper(p, house), None)
    front = _panel(p, side, front_places, front_upper(p), front_turn(p, side, house))
    return Bodice(p, back, front)


def back_dart(p: Proportions, shaping: Shaping) -> float:
    """From the centre to the back's first dart, mm."""
    return 0.43 * (p.quarter_bust - shaping.side)


def back_dart_top(p: Proportions) -> float:
    """Height of the back's first waist dart: not above the bust line, whose girth it would take in."""
    return min(p.armhole_line - 12.0, p.bust_line)


def front_dart_top(p: Proportions, house: rules.House) -> float:
    """Height of the front's first waist dart: short of the bust point."""
    return max(p.bust_line - _short(p, house), 0.6 * p.bust_line)


def _short(p: Proportions, house: rules.House) -> float:
    return min(house["bust_dart_short"], 0.22 * p.quarter_bust)


def front_turn(p: Proportions, side: Side, house: rules.House) -> BustTurn | None:
    """How the front is turned at the side where it is longer over the bust than the back, else None."""
    longer = p.front_neck - (p.back_neck - p.rounded)
    if longer < house["dart_least"]:
        return None
    return bust_turn(side, min(p.bust_point + _short(p, house), 0.72 * p.quarter_bust), longer, house)


@dataclass(frozen=True, slots=True)
class Upper:
    """What lies above the side seam: height of the neck point, half widths at armhole and shoulder, mm."""

    neck: float
    across: float
    half_shoulder: float
    is_back: bool = False


def back_upper(p: Proportions, house: rules.House) -> Upper:
    """The back's: its shoulder is longer, and eased."""
    eased = house["back_shoulder_ease"] * rules.proportion(p.neck_width) * cos(p.slope)
    return Upper(p.back_neck, p.across_back, p.half_shoulder + eased, is_back=True)


def front_upper(p: Proportions) -> Upper:
    """The front's."""
    return Upper(p.front_neck, p.across_front, p.half_shoulder)


def shoulder_and_armhole(p: Proportions, upper: Upper, opened: OpenedSide) -> tuple[Path, Path]:
    """The shoulder from the neck point outward, and the armhole from there down to the side seam."""
    return _shoulder_and_armhole(p, upper, opened.underarm, opened.arrival)


def _shoulder_and_armhole(p: Proportions, upper: Upper, under: Point, arrival: Point) -> tuple[Path, Path]:
    neck = Point(p.neck_width, upper.neck)
    run = upper.half_shoulder - p.neck_width
    tip = Point(upper.half_shoulder, upper.neck - run * tan(p.slope))
    return Path.line(neck, tip), _armhole(p, tip, upper.across, under, arrival)


def armhole_girth(p: Proportions, house: rules.House) -> float:
    """About how long the armhole will be, front and back, mm: as if the sides were upright."""
    under = Point(p.quarter_bust, p.armhole_line)
    return sum(
        _shoulder_and_armhole(p, upper, under, Point(1.0, 0.0))[1].length
        for upper in (back_upper(p, house), _front_turned_back(p))
    )


def _front_turned_back(p: Proportions) -> Upper:
    """The front's upper part before its bust dart is opened: as high above the armhole line as the back's."""
    return Upper(p.back_neck - p.rounded, p.across_front, p.half_shoulder)


def _panel(p: Proportions, side: Side, places: list[DartPlace], upper: Upper, turn: BustTurn | None) -> Panel:
    foot = side.curve.p3
    rise = p.hollow if upper.is_back else 0.0
    if places:
        waist, _ = fitted(places, p.quarter_waist, foot, side.lean, rise)
    else:
        _refuse_deep_hollow(rise, foot.x)
        waist = waist_line((), 0.0, foot, side.lean, rise)
    opened = opened_side(side, turn)
    shoulder, armhole = shoulder_and_armhole(p, upper, opened)
    return Panel(
        shoulder.start,
        shoulder,
        armhole,
        opened.sides,
        waist,
        tuple(
            WaistDart(inner, Point(place.axis, place.apex), outer)
            for place, (inner, outer) in zip(places, waist.feet, strict=True)
        ),
        opened.darts,
        side.bust_side,
        armhole.segments[0].length,
    )


def _refuse_deep_hollow(rise: float, width: float) -> None:
    """Raises: CannotDraft where a waist without darts would grow by rising at the centre back."""
    most = sqrt(2 * width * _HOLLOW_WIDENS)
    if rise > most:
        raise CannotDraft(
            f"a back without darts can be made {most:.0f} mm shorter at the centre, not {rise:.0f} mm: note "
            "a smaller amount for the hollow back",
            field="sway_back",
        )


def _armhole(p: Proportions, tip: Point, across: float, under: Point, arrival: Point) -> Path:
    """Square to the shoulder, upright at its narrowest, square to the side seam.

    Where it is wide for its height, as under a large bust, its foot begins higher and runs out more evenly:
    the curve of a girl's armhole would be a box there (common practice, no source).
    """
    across = min(across, under.x - 10.0)
    wide = _wideness(under.x - across, tip.y - under.y)
    narrow = Point(across, under.y + (0.4 + 0.2 * wide) * (tip.y - under.y))
    down = Point(-sin(p.slope), -cos(p.slope))
    first = 0.36 * distance(tip, narrow)
    height, width, foot = narrow.y - under.y, under.x - across, 0.62 - 0.14 * wide
    # The first handle leans inward with the shoulder's slope: it must not pass the narrowest point.
    inward = max(0.9 * (tip.x - across) / max(sin(p.slope), 0.1), 0.33 * first)
    upper = Cubic(tip, tip + down * min(first, inward), narrow + Point(0.0, first), narrow)
    lower = Cubic(narrow, narrow - Point(0.0, 0.62 * height), under - arrival * (foot * width), under)
    return Path((upper, lower))


def _wideness(width: float, height: float) -> float:
    """How wide an armhole is for its height: 0 up to half of it, as most are, 1 from nine tenths on."""
    return min(1.0, max(0.0, (width / height - 0.5) / 0.4))


def dart_legs(dart: WaistDart | BustDart) -> tuple[Path, Path]:
    """Both legs, each from the mouth to the point."""
    first, second = (dart.inner, dart.outer) if isinstance(dart, WaistDart) else (dart.upper, dart.lower)
    return Path((Line(first, dart.apex),)), Path((Line(second, dart.apex),))
