"""The set-in sleeve, drafted from the very armhole that it is sewn to.

Frame: x along the sleeve's width, the grain at x = 0, the wearer's front at x > 0 (a right sleeve seen from
outside); y up from the level of the underarm points. The cap runs from the front underarm over the crown to
the back underarm; both underarm seams run down.

A sleeve that narrows or widens towards its hem is drawn square to its underarm seams at cap and hem, as if
it had been cut and spread: the cap then leaves the underarm falling or rising, and its height is found so
that its length is still the armhole's and the ease.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import asin, atan, cos, sin, sqrt, tan

from drafting.blocks.root import rising_root
from drafting.errors import CannotDraft
from drafting.geometry import (
    Cubic,
    Path,
    Point,
    angle_between,
    curve_through,
    distance,
    lerp,
    perpendicular,
    rotated,
    unit,
)

WHOLE_ARMHOLE = 16.5 * 25.4
"""The armhole from which on a cap has its whole ease, mm; a smaller one has less in proportion."""

_STEEPEST = 0.7  # radians an underarm seam may lean
_LEAST_SEAM = 5.0  # mm of underarm seam
_ARCH = 0.35  # radians the seams of a cap sleeve lean inward
_LEAVE = 0.3  # of the chord from notch to crown: handle at the notch of a gathered cap
_FULL = 0.6  # of the notch's distance from the grain: handle at its crown
_ELBOW_DART = 0.45  # of the sleeve's width at the elbow: how long its dart is
_RISE = 1 / 3  # of the spread: how far a gathered crown rises


@dataclass(frozen=True, slots=True)
class ArmholeSize:
    """Lengths of an armhole, mm; notches are measured from the shoulder down."""

    front: float
    back: float
    front_notch: float
    back_notch: float

    @property
    def girth(self) -> float:
        return self.front + self.back

    @property
    def between(self) -> float:
        """From notch to notch over the shoulder."""
        return self.front_notch + self.back_notch


@dataclass(frozen=True, slots=True)
class CapRule:
    """How a cap is: its ease, and how high it may be, as a share of the armhole."""

    ease: float  # mm
    lowest: float
    highest: float


@dataclass(frozen=True, slots=True)
class CapNotches:
    """Where the notches lie along a cap from the front underarm, mm."""

    front: float
    shoulder: float
    back: float


@dataclass(frozen=True, slots=True)
class ElbowDart:
    """A dart open at the back underarm seam."""

    upper: Point
    apex: Point
    lower: Point


@dataclass(frozen=True, slots=True)
class Sleeve:
    """A sleeve's outline, without allowances."""

    cap: Path  # front underarm, crown, back underarm
    front: Path  # underarm seam, downward
    backs: tuple[Path, ...]  # the same behind; an elbow dart parts it
    hem: Path  # from the back to the front
    height: float  # of the crown above the underarm points
    notches: CapNotches
    elbow: ElbowDart | None = None

    @property
    def width(self) -> float:
        """At the underarm points, mm."""
        return self.cap.start.x - self.cap.end.x


@dataclass(frozen=True, slots=True)
class _Half:
    """Shares of a half cap: its knee, the slope there, and how far each handle reaches."""

    knee: Point
    slope: float
    foot: float
    below: float
    above: float
    crown: float


# The front is hollowed more below and is flatter above than the back (common practice, no source).
_FRONT = _Half(Point(0.5, 0.48), 1.5, 0.25, 0.2, 0.2, 0.3)
_BACK = _Half(Point(0.45, 0.47), 1.35, 0.2, 0.18, 0.2, 0.36)


def cap_ease(whole: float, armhole: float) -> float:
    """The ease of a cap, mm: all of ``whole`` from an armhole of 16 1/2 in on, less in proportion below.

    Source: 1 to 1 1/2 in, Robinson, Ease in Clothing (ch. 16); the proportion is common practice, no source.
    """
    return whole * min(1.0, armhole / WHOLE_ARMHOLE)


def cap_path(width: float, height: float, lean: float = 0.0) -> Path:
    """A cap ``width`` wide and ``height`` high, its ends square to seams that lean outward by ``lean``."""
    front = _half(_FRONT, width / 2, height, lean)
    back = _half(_BACK, width / 2, height, lean).mapped(lambda p: Point(-p[0], p[1]))
    return front.joined(back.reversed())


def _half(shape: _Half, width: float, height: float, lean: float) -> Path:
    """From the underarm point at x = ``width`` up to the crown."""

    def at(across: float, up: float) -> Point:
        return Point(width * (1 - across), height * up)

    under, (across, up) = Point(width, 0.0), shape.knee
    foot = under + Point(-cos(lean), -sin(lean)) * (shape.foot * width)
    knee, crown = at(across, up), at(1.0, 1.0)
    below = at(across - shape.below, up - shape.below * shape.slope)
    above = at(across + shape.above, up + shape.above * shape.slope)
    return Path(
        (Cubic(under, foot, below, knee), Cubic(knee, above, at(1 - shape.crown, 1.0), crown)),
    )


def cap_height(width: float, length: float, lean: float = 0.0) -> float:
    """The height at which a cap ``width`` wide is exactly ``length`` long, mm.

    Raises: CannotDraft, field "upper_arm_girth", where even a flat one is longer.
    """
    try:
        return rising_root(lambda height: cap_path(width, height, lean).length - length, 1.0, length)
    except ValueError:
        raise CannotDraft(
            f"no sleeve cap {length:.0f} mm long spans a sleeve {width:.0f} mm wide", field="upper_arm_girth"
        ) from None


def cap_width(height: float, length: float) -> float:
    """The width at which a cap of that height is exactly ``length`` long, mm. Raises: CannotDraft."""
    try:
        return rising_root(lambda width: cap_path(width, height).length - length, 1.0, length)
    except ValueError:
        raise CannotDraft(
            f"a sleeve cap {height:.0f} mm high is longer than {length:.0f} mm", field="cap_ease"
        ) from None


def upper_width(arm: float, ease: float, least: float, armhole: float, cap: CapRule) -> float:
    """The sleeve's width under the arm, mm: the arm and its ease, kept to where the cap's height is sound.

    A sleeve whose cap would stand too high is made wider, one whose cap would lie too low narrower, down to
    the ``least`` ease (common practice, no source).

    Raises: CannotDraft, field "upper_arm_girth", where the arm does not go into the armhole.
    """
    length, wished = armhole + cap.ease, arm + ease
    if cap_path(wished, cap.highest * armhole).length < length:
        return cap_width(cap.highest * armhole, length)
    if cap_path(wished, cap.lowest * armhole).length <= length:
        return wished
    widest = cap_width(cap.lowest * armhole, length)
    if widest < arm + least:
        raise _arm_too_thick(arm, arm + least - widest, armhole)
    return widest


def _arm_too_thick(arm: float, lacking: float, armhole: float) -> CannotDraft:
    # Lowering an armhole by 1 lengthens it by 2 or a little less.
    return CannotDraft(
        f"an upper arm of {arm:.0f} mm does not go into an armhole of {armhole:.0f} mm: the sleeve would be "
        f"{lacking:.0f} mm too narrow. Measure the upper arm and the armhole depth again, or set the house "
        f"rule 'Ease of the armhole line' about {0.6 * lacking + 1:.0f} mm higher",
        field="upper_arm_girth",
    )


def draft_sleeve(armhole: ArmholeSize, cap: CapRule, width: float, length: float, hem: float) -> Sleeve:
    """Return a sleeve ``length`` long from the crown to the middle of a hem ``hem`` wide.

    Raises: CannotDraft: field "sleeve_length" where it ends above the underarm, "sleeve_width" where its
    seams would lean too far.
    """
    whole = armhole.girth + cap.ease
    plain = cap_height(width, whole)
    if length <= plain + _LEAST_SEAM:
        raise _too_short(length, plain)
    try:
        height = rising_root(
            lambda tall: cap_path(width, tall, _lean(width, hem, length - tall)).length - whole,
            0.1 * plain,
            min(plain + width / 2, length - 1.0),
        )
    except ValueError:
        raise _leans_too_far(width, hem) from None
    lean = _lean(width, hem, length - height)
    seam = (length - height - hem / 2 * tan(lean / 2)) / cos(lean)
    if abs(lean) > _STEEPEST or seam < _LEAST_SEAM:
        raise _leans_too_far(width, hem)
    return _outline(armhole, cap_path(width, height, lean), lean, seam)


def draft_cap_sleeve(armhole: ArmholeSize, cap: CapRule, width: float, seam: float) -> Sleeve:
    """Return a sleeve that covers the shoulder only: its underarm seam is ``seam`` mm long and leans inward.

    The hem, square to both seams, arches up over the arm. Raises: CannotDraft.
    """
    height = cap_height(width, armhole.girth + cap.ease, -_ARCH)
    return _outline(armhole, cap_path(width, height, -_ARCH), -_ARCH, seam)


def _outline(armhole: ArmholeSize, cap: Path, lean: float, seam: float) -> Sleeve:
    """A cap's sleeve with seams ``seam`` mm long, and a hem that is square to both."""
    under = cap.start
    foot = under + Point(sin(lean), -cos(lean)) * seam
    middle = foot.y - foot.x * tan(lean / 2)
    return Sleeve(
        cap,
        Path.line(under, foot),
        (Path.line(_across(under), _across(foot)),),
        _hem(foot, middle, Point(cos(lean), sin(lean))),
        max(segment.end.y for segment in cap.segments),
        cap_notches(armhole, cap.length),
    )


def spread(sleeve: Sleeve, armhole: ArmholeSize, fullness: float) -> Sleeve:
    """The sleeve cut along its grain and spread, so that its cap is gathered into the armhole.

    Below the notches cap and armhole stay alike; between them the cap is ``fullness`` times the armhole.
    The crown rises by a third of the spread (common practice, no source), and the hem is as much wider.

    Raises: CannotDraft, field "cap_ease", where the cap is that full already.
    """
    between = fullness * armhole.between
    if sleeve.notches.back - sleeve.notches.front >= between:
        raise CannotDraft(f"a cap gathered {fullness:.3g} times has no room for its ease", field="cap_ease")
    by = rising_root(lambda wide: _spread_top(sleeve, wide).length - between, 0.0, 2 * between)
    head, tail = _below_notches(sleeve)
    foot = sleeve.front.end + Point(by / 2, 0.0)
    down = sleeve.front.end_tangent
    cap = head.translated(by / 2, 0.0).joined(_spread_top(sleeve, by)).joined(tail.translated(-by / 2, 0.0))
    return Sleeve(
        cap,
        sleeve.front.translated(by / 2, 0.0),
        tuple(path.translated(-by / 2, 0.0) for path in sleeve.backs),
        _hem(foot, sleeve.hem.point_at(sleeve.hem.length / 2).y, Point(-down.y, down.x)),
        sleeve.height + _RISE * by,
        cap_notches(armhole, cap.length),
    )


def _below_notches(sleeve: Sleeve) -> tuple[Path, Path]:
    return sleeve.cap.split_at(sleeve.notches.front)[0], sleeve.cap.split_at(sleeve.notches.back)[1]


def _spread_top(sleeve: Sleeve, by: float) -> Path:
    """The cap from notch to notch over a crown that is raised, the notches ``by`` further apart."""
    head, tail = _below_notches(sleeve)
    crown = Point(0.0, sleeve.height + _RISE * by)
    front, back = head.end + Point(by / 2, 0.0), tail.start - Point(by / 2, 0.0)
    return Path(
        (
            _rounded(front, head.end_tangent, crown),
            _rounded(back, tail.start_tangent * -1.0, crown).reversed(),
        )
    )


def _rounded(start: Point, along: Point, crown: Point) -> Cubic:
    """From a notch, leaving in the direction ``along``, up to a full, level crown."""
    leave = along * (_LEAVE * distance(start, crown))
    return Cubic(start, start + leave, crown + Point(_FULL * start.x, 0.0), crown)


def shortened(sleeve: Sleeve, by: float) -> Sleeve:
    """The sleeve, its hem ``by`` higher all along (a lining's). Raises: ValueError where nothing is left."""
    front = sleeve.front.split_at(sleeve.front.length - by)[0]
    *above, last = sleeve.backs
    back = last.split_at(last.length - by)[0]
    middle = sleeve.hem.point_at(sleeve.hem.length / 2)
    rise = perpendicular(unit(sleeve.hem.tangent_at(sleeve.hem.length / 2))) * by
    hem = curve_through(
        (back.end, middle + rise, front.end), sleeve.hem.start_tangent, sleeve.hem.end_tangent
    )
    return replace(sleeve, front=front, backs=(*above, back), hem=hem)


def bent(sleeve: Sleeve, down: float, share: float) -> Sleeve:
    """The sleeve bent forward at the elbow, which lies ``down`` mm below the underarm along its seams.

    All below is turned about the front seam there until the back seam has opened by that ``share`` of the
    width: the mouth of a dart towards the elbow. The back seam is bowed so that it runs on over the closed
    dart.

    Source: cut and spread, plane geometry.
    """
    above, below = sleeve.front.split_at(down)
    back_above, back_below = sleeve.backs[0].split_at(down)
    pivot = above.end
    turn = 2 * asin(share / 2)
    lower = rotated(back_above.end, turn, pivot)
    apex = lerp(lerp(back_above.end, lower, 0.5), pivot, _ELBOW_DART)
    opening = angle_between(back_above.end - apex, lower - apex)
    bow = (opening - turn) / 2
    foot, hem = below.rotated(turn, pivot), sleeve.hem.rotated(turn, pivot)
    behind = back_below.rotated(turn, pivot)
    origin = Point(0.0, 0.0)
    return replace(
        sleeve,
        front=curve_through((above.start, pivot, foot.end), above.start_tangent, foot.end_tangent),
        backs=(
            _bowed(back_above, back_above.start_tangent, rotated(back_above.end_tangent, -bow, origin)),
            _bowed(behind, rotated(behind.start_tangent, bow, origin), behind.end_tangent),
        ),
        hem=hem,
        elbow=ElbowDart(back_above.end, apex, lower),
    )


def _bowed(straight: Path, leaving: Point, arriving: Point) -> Path:
    return curve_through((straight.start, straight.end), leaving, arriving)


def _across(point: Point) -> Point:
    return Point(-point.x, point.y)


def _too_short(length: float, height: float) -> CannotDraft:
    return CannotDraft(
        f"a sleeve {length:.0f} mm long ends above the underarm, which lies {height:.0f} mm below its crown; "
        "choose a longer one",
        field="sleeve_length",
    )


def _lean(width: float, hem: float, depth: float) -> float:
    """How far the seams lean outward, radians, ``depth`` being from the underarm level to the hem's middle.

    The hem is an arc square to both seams: its ends lie higher than its middle where it is the wider, by
    half the hem times the tangent of half the lean; with the seams' own slope that is a quadratic in this
    tangent. Where it has no root the lean is the steepest that has one, or more.
    """
    out, mean = (hem - width) / 2, (hem + width) / 2
    under_root = depth * depth - mean * out
    return 2 * atan(out / (depth + sqrt(max(under_root, 0.0))))


def _leans_too_far(width: float, hem: float) -> CannotDraft:
    return CannotDraft(
        f"a sleeve {width:.0f} mm wide under the arm does not run out to {hem:.0f} mm at its hem; choose a "
        "hem nearer to that, or a longer sleeve",
        field="sleeve_width",
    )


def _hem(foot: Point, middle: float, along: Point) -> Path:
    """From the back to the front foot, level in the middle, where it leaves in the direction ``along``."""
    return curve_through((_across(foot), Point(0.0, middle), foot), Point(along.x, -along.y), along)


def cap_notches(armhole: ArmholeSize, cap: float) -> CapNotches:
    """The notches of a cap ``cap`` mm long: below them it is as long as its armhole.

    The shoulder's divides the cap as the shoulder seam divides the armhole, and so the ease likewise.
    """
    return CapNotches(
        armhole.front - armhole.front_notch,
        armhole.front * cap / armhole.girth,
        cap - (armhole.back - armhole.back_notch),
    )
