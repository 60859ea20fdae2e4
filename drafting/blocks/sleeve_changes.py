"""A sleeve changed after it was drawn: spread to be gathered, bent at the elbow, shortened for a lining."""

from __future__ import annotations

from dataclasses import replace
from math import asin

from drafting.blocks.root import rising_root
from drafting.blocks.sleeve import ElbowDart, Sleeve, level_hem
from drafting.blocks.sleeve_cap import ArmholeSize, cap_notches
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

_LEAVE = 0.3  # of the chord from notch to crown: handle at the notch of a gathered cap
_FULL = 0.6  # of the notch's distance from the grain: handle at its crown
_ELBOW_DART = 0.45  # of the sleeve's width at the elbow: how long its dart is
_RISE = 1 / 3  # of the spread: how far a gathered crown rises


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
        level_hem(foot, sleeve.hem.point_at(sleeve.hem.length / 2).y, Point(-down.y, down.x)),
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
