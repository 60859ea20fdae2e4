"""What a missing measurement probably is, and by how much that may be wrong.

Sources. "ANSUR II" is the US Army's survey of 2012, women, n = 1986, public release; its regressions
were computed from the released rows. "ANSUR 1988" is the survey of 1988, women, n = 2208, of which the
published means and standard deviations are used: it is the one that measured the natural waist, where
ANSUR II has the waist at the navel only (on average 66 mm more around and 75 mm lower). Where one gives
the mean and the other the slope, the line is drawn through the mean of the first with the slope of the
second. Errors are one standard deviation.

Below the shortest woman of ANSUR II (1409 mm) no survey of children stands behind a figure. Two rules are
used, chosen for each measurement by how children grow (common practice, no source): either the straight
line is followed downward (trunk, neck, wrist: a small child's are large for its stature), or the wearer
is enlarged to 1409 mm, estimated, and shrunk again (limbs, shoulders, arm girths: these keep their
proportion). The error is then doubled.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

SHORTEST_SURVEYED: Final = 1409.0  # mm, stature, ANSUR II women, minimum
WIDEST_SURVEYED: Final = 1266.0  # mm, bust girth, ANSUR II women, maximum
_BUST_1988: Final = 907.1  # mm, mean
_STATURE_1988: Final = 1629.4  # mm, mean

Known = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value and one standard deviation of its error, mm."""

    value: float
    error: float


@dataclass(frozen=True, slots=True)
class _Frame:
    """Girth and stature to put into a survey's line, and how the result is scaled back."""

    bust: float
    stature: float
    scale: float
    doubt: float


def _enlarged(known: Known) -> _Frame:
    """The wearer enlarged to the shortest surveyed woman; unchanged where she is as tall."""
    scale = max(1.0, SHORTEST_SURVEYED / known["stature"])
    doubt = 2.0 if scale > 1 else 1.0
    return _Frame(known["bust_girth"] * scale, known["stature"] * scale, scale, doubt)


def _doubt(known: Known) -> float:
    return 2.0 if known["stature"] < SHORTEST_SURVEYED else 1.0


def neck_base_girth(known: Known, is_child: bool) -> Estimate:
    """109.96 + 0.1402 bust + 0.0789 stature; error 14.0. Source: ANSUR II. Followed downward for children."""
    value = 109.9559 + 0.140246 * known["bust_girth"] + 0.078855 * known["stature"]
    return Estimate(value, 14.0 * _doubt(known))


def back_width(known: Known, is_child: bool) -> Estimate:
    """96.9 + 0.2205 bust + 0.0415 stature; error 22.9. Source: ANSUR II, between the folds of the arms.

    The same line is followed beyond the stoutest woman surveyed. The width stays under 0.42 of the bust so
    that a tenth of it is left for each arm (common practice, no source).
    """
    if "chest_width" in known:
        return Estimate(known["chest_width"] / CHEST_SHARE, 18.0 * _doubt(known))
    frame = _enlarged(known)
    value = 96.9132 + 0.220523 * frame.bust + 0.04154 * frame.stature
    return Estimate(min(value / frame.scale, 0.42 * known["bust_girth"]), 22.93 * frame.doubt / frame.scale)


CHEST_SHARE: Final = 0.94


def chest_width(known: Known, is_child: bool) -> Estimate:
    """0.94 of the back width; error 20. Common practice, no source."""
    return Estimate(CHEST_SHARE * known["back_width"], 20.0 * _doubt(known))


def shoulder_length(known: Known, is_child: bool) -> Estimate:
    """32.3 + 0.0633 stature; error 9.4. Source: ANSUR II (the bust says next to nothing of it).

    Kept so that the shoulder bone stands no more than 28 mm outside the back width, the neck being a fifth
    of its girth wide to either side; and where it would stand more than 20 mm inside, up to 15 mm longer
    (common practice, no source).
    """
    frame = _enlarged(known)
    value = (32.2864 + 0.063322 * frame.stature) / frame.scale
    half_back, half_neck = known["back_width"] / 2, known["neck_base_girth"] / 5
    longest, shortest = (half_back + 28 - half_neck) / 0.94, (half_back - 20 - half_neck) / 0.94
    value = min(max(value, shortest), value + 15)
    return Estimate(max(min(value, longest), 0.04 * known["stature"]), 9.44 * frame.doubt / frame.scale)


def back_waist_length(known: Known, is_child: bool) -> Estimate:
    """367.3 at bust 907 and stature 1629, + 0.0078 bust + 0.1786 stature; error 20.

    Source: mean of ANSUR 1988 (natural waist, sd 25.0); slopes of ANSUR II from the nape to the tenth rib,
    which lies near the natural waist (R2 0.36: 25.0 x sqrt(1 - 0.36) = 20). Followed downward for children.
    """
    if "front_waist_length" in known:
        return Estimate(known["front_waist_length"] - _front_excess(known, is_child), 15.0 * _doubt(known))
    girth, height = known["bust_girth"] - _BUST_1988, known["stature"] - _STATURE_1988
    return Estimate(367.3 + 0.007847 * girth + 0.17856 * height, 20.0 * _doubt(known))


def _front_excess(known: Known, is_child: bool) -> float:
    """How much longer the front is over the bust than the back from the nape, mm.

    A grown woman: 26 at bust 907 (ANSUR 1988: neck to bust point 268.0, plus about 125 from there to the
    natural waist, less the back's 367.3), 6 more for each 100 mm of bust, between 10 and 70 (common practice,
    no source). A child: 5 (common practice, no source).
    """
    if is_child:
        return 5.0
    return min(70.0, max(10.0, 26.0 + 0.06 * (known["bust_girth"] - _BUST_1988)))


def front_waist_length(known: Known, is_child: bool) -> Estimate:
    """The back waist length and what the bust adds; error 15 beside the back's. See ``_front_excess``."""
    return Estimate(known["back_waist_length"] + _front_excess(known, is_child), 15.0 * _doubt(known))


def neck_to_bust_point(known: Known, is_child: bool) -> Estimate:
    """268.0 at bust 907 and stature 1629, + 0.0734 bust + 0.0967 stature; error 21.8.

    Source: mean of ANSUR 1988; slopes and error of ANSUR II from the nape down to the bust point level. Never
    below nine tenths of the front waist length (common practice, no source).
    """
    frame = _enlarged(known)
    value = 268.0 + 0.073371 * (frame.bust - _BUST_1988) + 0.096723 * (frame.stature - _STATURE_1988)
    deepest = 0.9 * known["front_waist_length"]
    return Estimate(min(value / frame.scale, deepest), 21.83 * frame.doubt / frame.scale)


def bust_point_width(known: Known, is_child: bool) -> Estimate:
    """A fifth of the bust up to 900, 72 + 0.12 bust beyond; error 15. Common practice, no source."""
    bust = known["bust_girth"]
    value = min(bust / 5, 72 + 0.12 * bust, 0.75 * known["chest_width"])
    return Estimate(value, 15.0 * _doubt(known))


def armscye_depth(known: Known, is_child: bool) -> Estimate:
    """185.7 at bust 907 and stature 1629, + 0.0177 bust + 0.0657 stature; error 13.7.

    Source: mean of ANSUR 1988 (sd 14.4); slopes and error of ANSUR II, nape to the front of the armhole. R2
    is 0.11: it is better taken than estimated. Beyond the stoutest woman surveyed, whose arms have no room in
    an armhole that only widens, 5 mm for each 40 of bust (Aldrich's size step, from memory). Never below 0.6
    of the back waist length (common practice, no source).
    """
    frame = _enlarged(known)
    within, beyond = min(frame.bust, WIDEST_SURVEYED), max(0.0, frame.bust - WIDEST_SURVEYED)
    value = 185.7 + 0.017678 * (within - _BUST_1988) + 0.065687 * (frame.stature - _STATURE_1988)
    value += beyond / 8
    deepest = 0.6 * known["back_waist_length"]
    return Estimate(min(value / frame.scale, deepest), 13.65 * frame.doubt / frame.scale)


def upper_arm_girth(known: Known, is_child: bool) -> Estimate:
    """2.8 + 0.2719 bust + 0.0278 stature; error 23. Source: ANSUR II, rse 20.4.

    The survey's arm was flexed; ANSUR 1988 has 281.3 flexed and 291.6 hanging, at the armpit, so that the
    error is stated larger (sqrt(20.4^2 + 10.3^2) = 23).
    """
    frame = _enlarged(known)
    value = 2.8355 + 0.271922 * frame.bust + 0.0278 * frame.stature
    return Estimate(value / frame.scale, 23.0 * frame.doubt / frame.scale)


def armscye_girth(known: Known, is_child: bool) -> Estimate:
    """371.3 at an upper arm of 291.6, in proportion below it, + 0.94 of what is more; error 20.

    Source: means of ANSUR 1988 (scye sd 23.0); no more can hang on the arm (sd 24.4) than the ratio of both.
    """
    arm = known["upper_arm_girth"]
    value = 371.3 * min(arm / 291.6, 1.0) + 0.94 * max(0.0, arm - 291.6)
    return Estimate(value, 20.0 * _doubt(known))


def arm_length(known: Known, is_child: bool) -> Estimate:
    """-49.5 + 0.3642 stature; error 17.9. Source: ANSUR II, straight arm."""
    frame = _enlarged(known)
    value = -49.5462 + 0.364205 * frame.stature
    return Estimate(value / frame.scale, 17.9 * frame.doubt / frame.scale)


def wrist_girth(known: Known, is_child: bool) -> Estimate:
    """31.3 + 0.0390 bust + 0.0532 stature; error 5.8. Source: ANSUR II. Followed downward for children."""
    value = 31.2626 + 0.03895 * known["bust_girth"] + 0.053209 * known["stature"]
    return Estimate(value, 5.79 * _doubt(known))


def waist_height(known: Known, is_child: bool) -> Estimate:
    """1056.5 at stature 1629, + 0.7082 stature; error 21. Followed downward for children.

    Source: mean of ANSUR 1988 (natural waist); slope and error of ANSUR II (navel: R2 0.83, rse 20.9).
    """
    return Estimate(1056.5 + 0.708171 * (known["stature"] - _STATURE_1988), 20.87 * _doubt(known))


def waist_to_hip(known: Known, is_child: bool) -> Estimate:
    """148.4 at stature 1629, in proportion to it; error 21. Source: ANSUR 1988, mean and sd 21.3."""
    return Estimate(148.4 * known["stature"] / _STATURE_1988, 21.3)


def body_rise(known: Known, is_child: bool) -> Estimate:
    """Waist height less the height of the crotch: 771.4 at stature 1629, + 0.5904 stature; error 31.

    Source: mean of ANSUR 1988; slope of ANSUR II (rse 23.6), followed downward for children, whose legs are
    short. Error: sqrt(20.9^2 + 23.6^2) = 31. Never below 0.24 of the hip girth (common practice, no source).
    """
    crotch = 771.4 + 0.590377 * (known["stature"] - _STATURE_1988)
    value = max(known["waist_height"] - crotch, 0.24 * known["hip_girth"])
    return Estimate(value, 31.0 * _doubt(known))


def waist_to_knee(known: Known, is_child: bool) -> Estimate:
    """Waist height less the height of the knee; error 25.

    Knee (middle of the kneecap): -106.9 + 0.3414 stature, rse 14.0. Source: ANSUR II. In proportion to
    stature for children. Error: sqrt(20.9^2 + 14.0^2) = 25.
    """
    frame = _enlarged(known)
    knee = (-106.9431 + 0.341419 * frame.stature) / frame.scale
    return Estimate(known["waist_height"] - knee, 25.0 * frame.doubt)


Estimator = Callable[[Known, bool], Estimate]

# In order: each reads only what stands above it, or the four essentials.
ESTIMATORS: Final[Mapping[str, Estimator]] = {
    "neck_base_girth": neck_base_girth,
    "back_width": back_width,
    "chest_width": chest_width,
    "shoulder_length": shoulder_length,
    "back_waist_length": back_waist_length,
    "front_waist_length": front_waist_length,
    "neck_to_bust_point": neck_to_bust_point,
    "bust_point_width": bust_point_width,
    "armscye_depth": armscye_depth,
    "upper_arm_girth": upper_arm_girth,
    "armscye_girth": armscye_girth,
    "arm_length": arm_length,
    "wrist_girth": wrist_girth,
    "waist_height": waist_height,
    "waist_to_hip": waist_to_hip,
    "body_rise": body_rise,
    "waist_to_knee": waist_to_knee,
}
