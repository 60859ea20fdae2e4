"""The skirt's pieces of the notched-collar dress: pleated front and back, button stand, lining."""

from __future__ import annotations

from drafting.blocks.sketch import Sketch, Stroke
from drafting.blocks.skirts.panel import SkirtPanel, SkirtSizes, skirt_panel
from drafting.blocks.skirts.pleated import pleat_marks, shown_at_hip
from drafting.blocks.skirts.pleated import pleated_panel as open_pleats
from drafting.details.pleats import BOX
from drafting.geometry import Path, Point
from drafting.pattern import Chord, Cut, EdgeKind, MarkKind, PleatRun
from drafting.styles.dress_bodice import PAIR, back_cuts, button
from drafting.styles.dress_plan import DressPlan

_LINING_EXTRA = 12.0  # mm on a quarter at the hip: a lining must never be the tighter one


def pleated_panel(plan: DressPlan) -> SkirtPanel:
    """A quarter of the skirt, pleats open; front and back alike."""
    return open_pleats(plan.pleats, plan.hip_level, plan.length)


def stand_width(plan: DressPlan) -> float:
    """How far the button stand's facing reaches from the centre front: never under the first pleat."""
    first = plan.pleats.stops(plan.pleats.waist, plan.pleats.waist_depth)[0][0]
    return min(plan.house["front_facing_width"], first - 2.0)


def zip_depth(plan: DressPlan) -> float:
    """How far the zip reaches below the waist: by the house, or to the hip level."""
    return min(plan.house["zip_below_waist"], plan.hip_level)


def skirt_front(plan: DressPlan) -> Sketch:
    """On the fold with a zip at the back; a pair with a button stand to the hem otherwise."""
    house, panel = plan.house, pleated_panel(plan)
    seam, side, hem = house["seam_allowance"], house["side_allowance"], house["hem_depth"]
    foot = panel.side.end
    if plan.zip_closure:
        fold = Path.line(Point(0.0, -plan.length), Point(0.0, 0.0))
        strokes = [Stroke("waist", panel.waist, EdgeKind.SEAM, seam)]
        closing = [
            Stroke("hem", panel.hem, EdgeKind.HEM, hem),
            Stroke("centre front", fold, EdgeKind.FOLD, 0.0),
        ]
    else:
        edge = -plan.sizes.extension
        centre, rest = panel.waist.split_at(stand_width(plan))
        strokes = [
            Stroke("waist extension", Path.line(Point(edge, 0.0), Point(0.0, 0.0)), EdgeKind.SEAM, seam),
            Stroke("waist centre", centre, EdgeKind.SEAM, seam),
            Stroke("waist", rest, EdgeKind.SEAM, seam),
        ]
        bottom = Point(edge, -plan.length)
        closing = [
            Stroke("hem", Path.line(bottom, foot), EdgeKind.HEM, hem),
            Stroke(
                "front edge",
                Path.line(Point(edge, 0.0), bottom),
                EdgeKind.SEAM,
                house["enclosed_allowance"],
            ),
        ]
    sketch = Sketch(
        "skirt front",
        [*strokes, Stroke("side", panel.side, EdgeKind.SEAM, side), *closing],
        (Cut("shell", 1, on_fold=True) if plan.zip_closure else PAIR,),
        _skirt_grain(plan),
        is_front=True,
        turned=("hem",),
    )
    _mark_skirt(plan, sketch, panel)
    if not plan.zip_closure:
        line = Path.line(Point(0.0, 0.0), Point(0.0, -plan.length))
        sketch.mark("centre front", MarkKind.CENTRE_LINE, line)
        for y in skirt_buttons(plan):
            button(plan, sketch, y)
    return sketch


def _skirt_grain(plan: DressPlan) -> tuple[Point, Point]:
    x = 0.35 * plan.pleats.hip / plan.pleats.count / (2 if plan.kind == BOX else 1)
    return Point(x, -0.85 * plan.length), Point(x, -0.35 * plan.length)


def skirt_buttons(plan: DressPlan) -> list[float]:
    """Heights of the skirt's buttons, evenly from one spacing below the waist to above the hem."""
    spacing = plan.house["button_spacing"]
    lowest = plan.length - min(plan.house["button_above_hem"], 0.3 * plan.length)
    count = max(1, int(lowest / spacing + 0.999))
    return [-lowest * (i + 1) / count for i in range(count)]


def skirt_back(plan: DressPlan) -> Sketch:
    """The same quarter; two with a zip between, or on the fold."""
    house, panel = plan.house, pleated_panel(plan)
    seam = house["seam_allowance"]
    top, foot = Point(0.0, 0.0), Point(0.0, -plan.length)
    if plan.zip_closure:
        stop = Point(0.0, -zip_depth(plan))
        zip_allowance = house["zip_allowance"]
        centre = [
            Stroke("centre back", Path.line(stop, foot), EdgeKind.SEAM, zip_allowance),
            Stroke("zip opening", Path.line(top, stop), EdgeKind.OPENING, zip_allowance),
        ]
    else:
        centre = [Stroke("centre back", Path.line(top, foot), EdgeKind.FOLD, 0.0)]
    sketch = Sketch(
        "skirt back",
        [
            Stroke("waist", panel.waist, EdgeKind.SEAM, seam),
            Stroke("side", panel.side, EdgeKind.SEAM, house["side_allowance"]),
            Stroke("hem", panel.hem, EdgeKind.HEM, house["hem_depth"]),
            *centre,
        ],
        (back_cuts(plan),),
        _skirt_grain(plan),
        turned=("hem",),
    )
    _mark_skirt(plan, sketch, panel)
    return sketch


def _mark_skirt(plan: DressPlan, sketch: Sketch, panel: SkirtPanel) -> None:
    """Hip line, lengthen line, and for each pleat its folds, where they go, and the way they go."""
    hip = -plan.hip_level
    sketch.mark("hip line", MarkKind.GUIDE, Path.line(Point(0.0, hip), Point(panel.hip_side.x, hip)))
    low = hip - 0.55 * (plan.length - plan.hip_level)
    sketch.mark("lengthen", MarkKind.LENGTHEN, Path.line(Point(0.0, low), Point(panel.hip_side.x, low)))
    sketch.marks.extend(pleat_marks(plan.pleats, plan.hip_level, plan.length))


def pleat_run(plan: DressPlan, sketch: Sketch) -> PleatRun:
    """The run at the waist of a drawn panel."""
    pleats = plan.pleats
    cloth = next(stroke.path.length for stroke in sketch.strokes if stroke.name == "waist")
    hidden = tuple(end - start for start, end in pleats.stops(pleats.waist, pleats.waist_depth))
    return PleatRun(
        sketch.name,
        "waist",
        plan.kind,
        cloth,
        cloth - sum(hidden),
        hidden,
        pleats.waist / pleats.count,
        pleats.overlap,
        plan.house["pleat_overlap"],
    )


def hip_chords(plan: DressPlan, sketch: Sketch) -> tuple[Chord, ...]:
    """What shows of a quarter at the hip, between its pleats."""
    y = -plan.hip_level
    return tuple(sketch.chord(Point(a, y), Point(b, y), 2) for a, b in shown_at_hip(plan.pleats))


def skirt_front_facing(plan: DressPlan) -> Sketch:
    """The facing of the button stand, from the waist to the hem."""
    house, edge, inner = plan.house, -plan.sizes.extension, stand_width(plan)
    seam = house["seam_allowance"]
    a, b = Point(edge, 0.0), Point(inner, 0.0)
    c, d = Point(inner, -plan.length), Point(edge, -plan.length)
    centre = Point(0.0, 0.0)
    free = EdgeKind.SEAM if plan.skirt_lined else EdgeKind.HEM
    return Sketch(
        "skirt front facing",
        [
            Stroke("waist extension", Path.line(a, centre), EdgeKind.SEAM, seam),
            Stroke("waist centre", Path.line(centre, b), EdgeKind.SEAM, seam),
            Stroke("facing inner", Path.line(b, c), free, seam if plan.skirt_lined else 6.35),
            Stroke("hem", Path.line(d, c), EdgeKind.HEM, house["hem_depth"]),
            Stroke("front edge", Path.line(a, d), EdgeKind.SEAM, house["enclosed_allowance"]),
        ],
        (PAIR, Cut("interfacing", 2, mirrored=True)),
        (Point(0.0, -0.8 * plan.length), Point(0.0, -0.2 * plan.length)),
        is_front=True,
        turned=("hem",),
    )


def lining_panel(plan: DressPlan, start: float) -> SkirtPanel:
    """A plain quarter for the lining; what it is wider at the waist is laid into soft tucks."""
    hip = plan.pleats.hip + _LINING_EXTRA - start
    waist = max(plan.pleats.waist - start, hip - 15.0)
    length = plan.length - plan.house["lining_hem"]
    return skirt_panel(SkirtSizes(waist, hip, plan.hip_level, length, start), 0.55 * (start + waist))


def skirt_lining(plan: DressPlan, *, is_front: bool) -> Sketch:
    house = plan.house
    seam = house["seam_allowance"]
    buttoned = is_front and not plan.zip_closure
    panel = lining_panel(plan, stand_width(plan) if buttoned else 0.0)
    top, foot = panel.waist.start, panel.hem.start
    if buttoned:
        cut, centre = (
            Cut("lining", 2, mirrored=True),
            [Stroke("facing join", Path.line(top, foot), EdgeKind.SEAM, seam)],
        )
    elif is_front or not plan.zip_closure:
        cut, centre = (
            Cut("lining", 1, on_fold=True),
            [Stroke("centre", Path.line(top, foot), EdgeKind.FOLD, 0.0)],
        )
    else:
        stop = Point(0.0, -zip_depth(plan))
        cut, centre = (
            Cut("lining", 2, mirrored=True),
            [
                Stroke("centre back", Path.line(stop, foot), EdgeKind.SEAM, house["zip_allowance"]),
                Stroke("zip opening", Path.line(top, stop), EdgeKind.OPENING, house["zip_allowance"]),
            ],
        )
    x = top.x + 0.35 * (panel.hip_side.x - top.x)
    return Sketch(
        "skirt front lining" if is_front else "skirt back lining",
        [
            Stroke("waist", panel.waist, EdgeKind.SEAM, seam),
            Stroke("side", panel.side, EdgeKind.SEAM, house["side_allowance"]),
            Stroke("hem", panel.hem, EdgeKind.HEM, house["hem_depth"] / 2),
            *centre,
        ],
        (cut,),
        (Point(x, -0.8 * plan.length), Point(x, -0.3 * plan.length)),
        is_front=is_front,
        turned=("hem",),
    )
