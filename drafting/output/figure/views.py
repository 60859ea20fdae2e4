"""Front and back of the garment, put together from what is known of the draft."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.geometry import Point
from drafting.output.figure.cloth import cloth_shapes, hem_lines
from drafting.output.figure.collars import back_collar, front_collar, set_collar
from drafting.output.figure.ink import both, stroke, way
from drafting.output.figure.lapels import grown_back, grown_stand, lapel_shapes, roll_of
from drafting.output.figure.loops import band_loop_shapes, belt_loop_shapes
from drafting.output.figure.panels import Side
from drafting.output.figure.side_zips import hung_zip_shapes, side_zip_shapes
from drafting.output.figure.skirts import Skirt, skirt_of
from drafting.output.figure.sleeves import Arm, arm_of, sleeve_shapes
from drafting.output.figure.trims import (
    band_shapes,
    belt_shapes,
    button_shapes,
    gather_shapes,
    keyhole_shapes,
    placket_shapes,
    pocket_shapes,
    slit_shapes,
    waistband_depth,
    waistband_of,
    zip_shapes,
)
from drafting.output.figure.trousers import trousers_of
from drafting.output.figure.uppers import neck_inside, neck_line, upper
from drafting.output.shapes import Shape
from drafting.pattern import Draft

FRONT, BACK = -1.0, 1.0
"""Which half of the picture a view's own half is: the wearer's right lies left as one looks at her."""


@dataclass(frozen=True, slots=True)
class View:
    """One side of the garment, drawn round x = 0."""

    shapes: tuple[Shape, ...]
    half: float  # how far it reaches from the centre, mm
    top: float
    bottom: float


def views(draft: Draft) -> tuple[View, View] | None:
    """Return front and back; None where no piece of the garment's body is known."""
    front, back = upper(draft, "front"), upper(draft, "back")
    if front is None or back is None:
        return _lower_only(draft)
    arm = arm_of(draft)
    return _front(draft, front, back, arm), _back(draft, front, back, arm)


def _lower_only(draft: Draft) -> tuple[View, View] | None:
    found = [_lower_view(draft, side, sign) for side, sign in (("front", FRONT), ("back", BACK))]
    one, other = found
    return (one, other) if one is not None and other is not None else None


def _lower_view(draft: Draft, side: str, sign: float) -> View | None:
    """A skirt or trousers with their band."""
    band = waistband_of(draft)
    skirt = trousers_of(draft, side, sign) or skirt_of(draft, side, sign, 0.0)
    if skirt is None:
        return None
    shapes = [*skirt.shapes, *_trims(draft, skirt, side, sign)]
    if band:
        shapes += [*band_shapes(draft, skirt.waist), *band_loop_shapes(draft, skirt.waist, side)]
    top = max(p[1] for p in skirt.waist) + waistband_depth(band)
    return View(tuple(shapes), skirt.half, top, skirt.bottom)


def _trims(draft: Draft, skirt: Skirt, side: str, sign: float) -> list[Shape]:
    """What is marked on a skirt's panels."""
    zips = zip_shapes(draft, skirt.raised, sign) if side == "back" else []
    fly = placket_shapes(draft, skirt.raised, sign) if side == "front" else []
    return [
        *pocket_shapes(skirt.raised),
        *zips,
        *_side_zip(draft, skirt, sign),
        *fly,
        *button_shapes(skirt.raised),
    ]


def _side_zip(draft: Draft, skirt: Skirt, sign: float) -> list[Shape]:
    if not skirt.hangs:
        return side_zip_shapes(draft, skirt.raised, sign)
    names = {panel.piece.name for panel in skirt.raised.panels}
    return hung_zip_shapes(draft, skirt.waist, Point(skirt.half, skirt.bottom), names, sign)


def _below(draft: Draft, side: str, body: Side, sign: float) -> tuple[list[Shape], float, float]:
    """The skirt that hangs from an upper, how far it reaches outward, and its lower end."""
    top = body.centre_bottom
    seam = [p for line in body.lines("waist") for p in line]
    end = max(seam, key=lambda p: p[0], default=Point(body.half_width(top + 1.0), top))
    skirt = skirt_of(draft, side, sign, top, end)
    if skirt is None:
        return [], 0.0, body.bottom
    shapes = [*skirt.shapes, *_trims(draft, skirt, side, sign)]
    edge = skirt.raised.lines("front edge")
    if edge and skirt.hangs:
        x = min(p[0] for line in edge for p in line)
        shapes.append(stroke("edge", way((Point(x, top), Point(x, skirt.bottom - 12.0)), sign)))
    return shapes, skirt.half, skirt.bottom


def _front(draft: Draft, front: Side, back: Side, arm: Arm | None) -> View:
    """The wearer's right front over the left; lapels and collar turned over their roll line."""
    roll, collar = roll_of(draft, front), set_collar(draft)
    stand = grown_stand(draft)
    skirt, wide, bottom = _below(draft, "front", front, FRONT)
    panel = front.panels[0]
    lowest = panel.out(roll.start)[1] if roll else None
    shapes, reach = sleeve_shapes(arm, front) if arm else ([], Point(0.0, 0.0))
    shapes += skirt
    shapes += neck_inside(front, back, lowest)
    left, right = (lapel_shapes(front, roll, stand, sign) if roll else [] for sign in (-FRONT, FRONT))
    shapes += [*cloth_shapes(draft, front, FRONT, roll, left), *right]
    shapes += both("fine", hem_lines(front))
    shapes += [*gather_shapes(front), *placket_shapes(draft, front, FRONT)]
    if collar is not None and roll is None:
        shapes += front_collar(collar, front, 0.0)
    shapes += [
        *keyhole_shapes(front),
        *pocket_shapes(front),
        *zip_shapes(draft, front, FRONT),
        *side_zip_shapes(draft, front, FRONT),
        *button_shapes(front),
    ]
    shapes += _belt(draft, front, behind=False)
    return View(
        tuple(shapes), max(wide, reach[0], _body_half(front)), front.top + 70.0, min(bottom, reach[1])
    )


def _back(draft: Draft, front: Side, back: Side, arm: Arm | None) -> View:
    collar, stand = set_collar(draft), grown_stand(draft)
    skirt, wide, bottom = _below(draft, "back", back, BACK)
    shapes, reach = sleeve_shapes(arm, back) if arm else ([], Point(0.0, 0.0))
    shapes += skirt
    shapes += cloth_shapes(draft, back, BACK)
    shapes += both("fine", hem_lines(back))
    shapes += [*zip_shapes(draft, back, BACK), *side_zip_shapes(draft, back, BACK), *slit_shapes(back)]
    line = neck_line(back)
    if roll_of(draft, front) is not None and line:
        shapes += grown_back(line[0], line[-1][1], stand)
    elif collar is not None:
        opened = any(e.kind.value == "opening" for panel in back.panels for e in panel.piece.edges)
        shapes += back_collar(collar, back, opened)
    shapes += [*pocket_shapes(back), *_belt(draft, back, behind=True)]
    return View(tuple(shapes), max(wide, reach[0], _body_half(back)), back.top + 70.0, min(bottom, reach[1]))


def _belt(draft: Draft, side: Side, *, behind: bool) -> list[Shape]:
    at = _waist_seam(side)
    return [*belt_shapes(draft, side, at), *belt_loop_shapes(draft, side, at, behind=behind)]


def _waist_seam(side: Side) -> float:
    """Height of the waist seam; that of the natural waist where there is none."""
    return side.centre_bottom if side.lines("waist") else 0.0


def _body_half(side: Side) -> float:
    return max(p[0] for panel in side.panels for p in panel.ring)
