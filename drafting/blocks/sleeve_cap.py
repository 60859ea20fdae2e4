"""The cap of a sleeve: its curve, and the height or width at which it is as long as its armhole and the ease.

Frame: that of ``blocks.sleeve``.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin, sqrt

from drafting.blocks.root import rising_root
from drafting.errors import CannotDraft
from drafting.geometry import Cubic, Path, Point

WHOLE_ARMHOLE = 16.5 * 25.4
"""The armhole from which on a cap has its whole ease, mm; a smaller one has less in proportion."""


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
        # No cap is shorter than straight lines up to its crown and down again.
        highest = sqrt(max(length * length - width * width, 0.0)) / 2 + 1.0
        return rising_root(lambda height: cap_path(width, height, lean).length - length, 1.0, highest)
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
    lacking = narrowness(wished, armhole, cap)
    if lacking > ease - least:
        raise _arm_too_thick(arm, lacking - (ease - least), armhole)
    return wished - lacking


def narrowness(width: float, armhole: float, cap: CapRule) -> float:
    """How much narrower than ``width`` the sleeve under an armhole's lowest cap is, mm; 0 where it is not."""
    length, height = armhole + cap.ease, cap.lowest * armhole
    if cap_path(width, height).length <= length:
        return 0.0
    return max(0.0, width - cap_width(height, length))


def lowered_by(lacking: float) -> float:
    """How much lower an armhole lies that takes a sleeve so much wider, mm; a little more than enough.

    Lowering it by 1 lengthens it by 2 or a little less.
    """
    return 0.6 * lacking + 1


def _arm_too_thick(arm: float, lacking: float, armhole: float) -> CannotDraft:
    return CannotDraft(
        f"an upper arm of {arm:.0f} mm does not go into an armhole of {armhole:.0f} mm: the sleeve would be "
        f"{lacking:.0f} mm too narrow. Measure the upper arm and the armhole depth again, or let the armhole "
        f"lie about {lowered_by(lacking):.0f} mm lower: house rule 'Ease of the armhole line under a sleeve'",
        field="upper_arm_girth",
    )


def cap_notches(armhole: ArmholeSize, cap: float) -> CapNotches:
    """The notches of a cap ``cap`` mm long: below them it is as long as its armhole.

    The shoulder's divides the cap as the shoulder seam divides the armhole, and so the ease likewise.
    """
    return CapNotches(
        armhole.front - armhole.front_notch,
        armhole.front * cap / armhole.girth,
        cap - (armhole.back - armhole.back_notch),
    )
