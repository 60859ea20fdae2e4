"""The set-in sleeve, drafted from the very armhole that it is sewn to.

Frame: x along the sleeve's width, the grain at x = 0, the wearer's front at x > 0 (a right sleeve seen from
outside); y up from the level of the underarm points. The cap runs from the front underarm over the crown to
the back underarm; both underarm seams run down.

A sleeve that narrows or widens towards its hem is drawn square to its underarm seams at cap and hem, as if
it had been cut and spread: the cap then leaves the underarm falling or rising, and its height is found so
that its length is still the armhole's and the ease.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, cos, sin, sqrt, tan

from drafting.blocks.root import rising_root
from drafting.blocks.sleeve_cap import ArmholeSize, CapNotches, CapRule, cap_height, cap_notches, cap_path
from drafting.errors import CannotDraft
from drafting.geometry import Path, Point, curve_through

_STEEPEST = 0.7  # radians an underarm seam may lean
_LEAST_SEAM = 5.0  # mm of underarm seam
_ARCH = 0.35  # radians the seams of a cap sleeve lean inward


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
        (Path.line(across(under), across(foot)),),
        level_hem(foot, middle, Point(cos(lean), sin(lean))),
        max(segment.end.y for segment in cap.segments),
        cap_notches(armhole, cap.length),
    )


def across(point: Point) -> Point:
    """The point as far on the other side of the grain."""
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


def level_hem(foot: Point, middle: float, along: Point) -> Path:
    """From the back to the front foot, level in the middle, where it leaves in the direction ``along``."""
    return curve_through((across(foot), Point(0.0, middle), foot), Point(along.x, -along.y), along)
