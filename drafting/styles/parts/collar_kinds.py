"""Each kind of collar that is set on to a neckline: drawn, made up and joined."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import floor

from drafting.details.buttons import Button, mark_on_ends
from drafting.details.collars.flat import flat_collar, laid_together, smoothed
from drafting.details.collars.leaf import Ends, Leaf, along_neck, leaf_sketch
from drafting.details.collars.standing import RISE_SHARE, band, pointed, shirt_stand
from drafting.details.collars.tie import tie_band
from drafting.errors import BadChoice
from drafting.geometry import Path, Point, lerp
from drafting.making import Making, Phase, run
from drafting.pattern import Finished, MarkKind, Method, NotionNeed
from drafting.styles.parts.armholes import child_share
from drafting.styles.parts.collar_layers import (
    collar_ends,
    half_neck,
    layers,
    neck_length,
    to_neck,
    two_layers,
)
from drafting.styles.parts.plackets import neck_extension

NO_COLLAR, FLAT, STAND, TURNOVER, SHIRT, TIE = "none", "flat", "stand", "turnover", "shirt", "tie"
_LEAST_STAND = 12.0  # mm: a lower one cannot be turned (common practice, no source)


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


def _flat(making: Making) -> None:
    back, front = making.run_path("back neck"), making.run_path("front neck")
    shoulders = making.run_path("back shoulder"), making.run_path("front shoulder")
    overlap = min(making.house["collar_overlap"] * child_share(making), 0.4 * shoulders[0].length)
    laid, down = laid_together(back, shoulders[0], front, shoulders[1], overlap)
    width = _width(making, "flat_collar_width", low=18.0, high=0.9 * shoulders[1].length)
    leaf = flat_collar(
        smoothed(laid, back.length), down, width, rounded=making.chosen("collar_shape") == "rounded"
    )
    two_layers(making, leaf, collar_ends(making, parted_in_front=True), phase=Phase.FACINGS)
    making.note(
        Phase.FACINGS,
        "Flat collar: interface the under-collar; sew it to the collar round the outer edge, grade, clip, "
        "turn and press so that the seam rolls under; baste it to the neckline, ends at the centre, before "
        "the neckline is finished over it.",
    )


def _stand(making: Making) -> None:
    height = _width(making, "collar_stand", low=_LEAST_STAND, high=64.0 * child_share(making))
    leaf = band(neck_length(making), height, RISE_SHARE * height)
    ends = collar_ends(making, parted_in_front=False)
    outer, inner = layers(making, leaf, ends, along_neck(leaf))
    # What stands shows its outer layer, so that the smaller one lies inside.
    to_neck(making, run(outer, "collar neck"), run(inner, "collar neck"), half_neck(making), Phase.NECK)
    making.note(
        Phase.NECK,
        "Standing collar: interface the under-collar; sew the two round top and ends, grade, clip and turn; "
        "sew the outer layer to the neckline, turn the inner one, which is smaller, under and fell it to the "
        "seam.",
    )


def _turnover(making: Making) -> None:
    share = child_share(making)
    stand = making.house["collar_stand"] * share
    width = _width(making, "turnover_width", low=stand + 22.0, high=130.0 * share)
    flat = band(neck_length(making), width, -0.08 * width)
    leaf = pointed(flat, longer=0.1 * width, outward=0.25 * width)
    pieces = two_layers(making, leaf, collar_ends(making, parted_in_front=True), phase=Phase.FACINGS)
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
    half = neck_length(making)
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
    pieces = layers(making, leaf, ends)
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
    neck = half_neck(making) + neck_extension(making)
    to_neck(making, run(outer, "stand neck"), run(inner, "stand neck"), neck, Phase.NECK)
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
    button = Button(making.house["button_diameter"], making.house["button_thickness"])
    mark_on_ends(making.sketches["collar stand"], button, place, place, along)
    making.notions.append(NotionNeed("button", 1, button.diameter, "on the collar stand"))


def _tie(making: Making) -> None:
    share, house = child_share(making), making.house
    width = _width(making, "tie_width", low=12.0, high=90.0)
    sketch = tie_band(
        "collar", neck_length(making), house["tie_length"] * share, width, house["enclosed_allowance"]
    )
    making.add(sketch)
    for one, other in (("tie lower", "tie upper"), ("tie end lower", "tie end upper")):
        making.sew(Phase.FACINGS, one, run("collar", one), run("collar", other), Method.ENCLOSED)
    neck = half_neck(making)
    to_neck(making, run("collar", "collar neck"), run("collar", "inner collar neck"), neck, Phase.NECK)
    making.finished.append(Finished("ties from the centre front", house["tie_length"] * share))
    making.note(
        Phase.NECK,
        "Tie collar: fold it lengthwise, sew the ties from their ends to the centre front, turn; sew one "
        "edge to the neckline from centre front to centre front, turn the other under and fell it down.",
    )


MAKERS: Mapping[str, Callable[[Making], None]] = {
    FLAT: _flat,
    STAND: _stand,
    TURNOVER: _turnover,
    SHIRT: _shirt,
    TIE: _tie,
}
