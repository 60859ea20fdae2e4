"""Skirts that darts fit to the waist: straight, or A-line with the darts closed into flare."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import atan

from drafting.blocks.bodice import dart_legs
from drafting.blocks.centre import Centre
from drafting.blocks.pleats import INVERTED
from drafting.blocks.sketch import Stroke
from drafting.blocks.skirts.darted import (
    DartedPanel,
    FlaredPanel,
    Shaping,
    closed_into_flare,
    dart_places,
    darted_panel,
    flaring,
    shaping,
)
from drafting.blocks.skirts.edge import HipEdge
from drafting.blocks.skirts.panel import SkirtSizes, skirt_panel
from drafting.errors import BadChoice
from drafting.geometry import Path, Point
from drafting.making import Making, Phase, Width
from drafting.pattern import Dart, EdgeKind, MarkKind, Method, PleatRun
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.skirts.hanging import (
    NEEDS,
    SIDES,
    SKIRT_LENGTH,
    Drawn,
    Hang,
    add_panel,
    hang,
    hem_depth,
    needs_centre_seam,
    seam_stroke,
    straight_hem,
    upright_grain,
)
from drafting.styles.parts.skirts.joining import hang_up, hip_girth
from drafting.styles.parts.skirts.stand import add_stand
from drafting.styles.parts.uppers.vents import (
    BACK_VENT,
    NO_VENT,
    SIDE_SLITS,
    WALKING,
    Vent,
    close_vent,
    slit_sides,
    vent_of,
)

_DART_LENGTHS = {"front": 0.62, "back": 0.85}  # of the hip level (common practice, no source)
_DART_CLOSED = 0.95  # of the hip level, front and back alike, where darts are closed into flare
_A_LINE_SIDE = 0.08  # of the length below the hip: what the side of an A-line gains at the hem
_PLEAT_SHARE = 0.4  # of half the front's waist: depth of its pleat at most
FRONT_PLEAT = Choice(
    "front_pleat",
    "Inverted pleat at the centre front",
    "switch",
    False,
    help="Room to walk, as deep as the house's pleats.",
)
_LEVEL = 0.5  # of the waist: level there, where there is no dart


@dataclass(frozen=True, slots=True)
class StraightSkirt:
    """Darts to the hip, straight below it; with room to walk where it passes the knee."""

    choices: tuple[Choice, ...] = (SKIRT_LENGTH, WALKING, FRONT_PLEAT)
    needs: tuple[str, ...] = NEEDS
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Draw front and back and join them. Raises: BadChoice, CannotDraft."""
        hung = hang(making, fitted=True)
        vent, pleat = _vent(making, hung), _pleat_depth(making, hung)
        panels = _fitted(making, hung, 0.0)
        for side in SIDES:
            panel = panels[side]
            drawn = _plain(making, hung, side, 0.0) if panel is None else _drawn(making, hung, panel)
            if side == "front":
                drawn = _with_pleat(drawn, pleat)
            vented = vent if side == "back" and vent and vent.kind == BACK_VENT else None
            add_panel(making, side, drawn, hung, vented)
        _hip_girth(making, hung, {side: [_across(hung, side)] for side in SIDES})
        _leave_room(making, vent)
        if pleat:
            _fold_pleat(making, hung, pleat)
        _finish(making, hung, 2 * pleat)


@dataclass(frozen=True, slots=True)
class ALineSkirt:
    """The straight skirt with its darts closed: what they took in becomes width at the hem."""

    choices: tuple[Choice, ...] = (SKIRT_LENGTH,)
    needs: tuple[str, ...] = NEEDS
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Draw front and back and join them. Raises: BadChoice, CannotDraft."""
        hung = hang(making, fitted=True)
        flare = atan(_A_LINE_SIDE)
        hips, spread, panels = {}, 0.0, _fitted(making, hung, flare)
        for side in SIDES:
            panel = panels[side]
            opened = closed_into_flare(panel) if panel else None
            drawn = _flared(making, hung, side, opened) if opened else _plain(making, hung, side, flare)
            needs_centre_seam(making, side, 2 * drawn.side.end.x)
            add_panel(making, side, drawn, hung)
            hips[side] = list(opened.hip) if opened else [_across(hung, side)]
            spread += 2 * opened.spread if opened else 0.0
        _hip_girth(making, hung, hips, spread)
        _finish(making, hung)


def _flared(making: Making, hung: Hang, side: str, opened: FlaredPanel) -> Drawn:
    """A panel whose darts are closed."""
    return Drawn(
        (seam_stroke(making, "waist", opened.waist),),
        opened.side,
        opened.hem,
        upright_grain(0.2 * hung.hips[side], hung),
        hem_depth(making, hung, straight_hem(hung)),
    )


def _vent(making: Making, hung: Hang) -> Vent | None:
    """The room to walk that was chosen; a back on the fold gets a seam for its vent.

    Raises: BadChoice, field "walking", where a skirt without any passes the knee.
    """
    kind, length = making.chosen("walking", BACK_VENT), hung.length - hung.top
    pleated = bool(making.choices.get("front_pleat", False))
    if kind == NO_VENT and not pleated and length > making.body["waist_to_knee"] + 1.0:
        raise BadChoice(
            "a straight skirt that passes the knee leaves no room to walk: choose a vent, slits or a pleat, "
            "or let it end at the knee",
            field="walking",
        )
    if kind == BACK_VENT and making.centre("skirt back").kind == "fold":
        making.centres["skirt back"] = Centre("seam")
    return vent_of(making, length, "skirt back")


def _leave_room(making: Making, vent: Vent | None) -> None:
    if vent and vent.kind == SIDE_SLITS:
        slit_sides(making, vent, ("skirt front", "skirt back"))
    elif vent:
        close_vent(making, "skirt back")


def _across(hung: Hang, side: str) -> tuple[Point, Point]:
    """A panel's width at the hip."""
    return Point(0.0, -hung.hip_level), _hip(hung, side)


def _fitted(making: Making, hung: Hang, flare: float) -> dict[str, DartedPanel | None]:
    """Both panels; the front's side ends as high as the back's, which it is sewn to."""
    back = _fit(making, hung, "back", flare, None)
    rise = back.side.start.y if back else None
    return {"front": _fit(making, hung, "front", flare, rise), "back": back}


def _fit(making: Making, hung: Hang, side: str, flare: float, rise: float | None) -> DartedPanel | None:
    """The panel with its darts, or None where the side alone takes in what there is."""
    shaped = _shaped(making, hung, flare)
    return _with_darts(hung, side, flare, shaped, rise) if shaped.darts else None


def _with_darts(hung: Hang, side: str, flare: float, shaped: Shaping, rise: float | None) -> DartedPanel:
    edge = HipEdge(_hip(hung, side), hung.below_hip, flare)
    share = _DART_CLOSED if flare else _DART_LENGTHS[side]
    width = hung.hips[side] - shaped.side
    places = dart_places(shaped.darts, width, share * hung.hip_level)
    return darted_panel(hung.seams[side], edge, shaped.side, places, rise)


def _shaped(making: Making, hung: Hang, flare: float) -> Shaping:
    """Of each quarter: front and back differ from hip to waist by as much, and are shaped alike."""
    intake = hung.hips["back"] - hung.seams["back"]
    if flare:
        return flaring(intake, making.house)
    return shaping(intake, _DART_LENGTHS["front"] * hung.hip_level, making.house)


def taken_at_side(making: Making, hung: Hang) -> float:
    """What the side of a straight skirt takes in from hip to waist on each quarter, mm."""
    return _shaped(making, hung, 0.0).side


def straight_back(making: Making, hung: Hang, side: Path, bend: float) -> Drawn:
    """The back of a straight skirt that meets the side of another front.

    Args:
        making: the garment.
        hung: its sizes.
        side: of that front below its seam, from the waist, which ends as high at the centre, downward.
        bend: how much of that front's waist bends to the side, mm.

    Raises: CannotDraft.
    """
    shaped = _shaped(making, hung, 0.0)
    if not shaped.darts:
        return _plain(making, hung, "back", 0.0, bend)
    at_side = side.end.x - side.start.x
    panel = _with_darts(hung, "back", 0.0, replace(shaped, side=at_side), side.start.y)
    return _drawn(making, hung, panel)


def _hip(hung: Hang, side: str) -> Point:
    return Point(hung.hips[side], -hung.hip_level)


def _plain(making: Making, hung: Hang, side: str, flare: float, bend: float | None = None) -> Drawn:
    """A panel without darts, ``bend`` mm of whose waist bend to the side."""
    seam = hung.seams[side]
    bend = _LEVEL * min(hung.seams.values()) if bend is None else min(bend, seam)
    sizes = SkirtSizes(seam, hung.hips[side], hung.hip_level, hung.length, 0.0, flare)
    panel = skirt_panel(sizes, seam - bend)
    return Drawn(
        (seam_stroke(making, "waist", panel.waist),),
        panel.side,
        panel.hem,
        upright_grain(0.3 * seam, hung),
        hem_depth(making, hung, straight_hem(hung)),
    )


def _drawn(making: Making, hung: Hang, panel: DartedPanel) -> Drawn:
    """Waist pieces and dart legs, named as those of a bodice."""
    strokes, darts = [seam_stroke(making, "waist centre", panel.waist[0])], []
    for k, (dart, after) in enumerate(zip(panel.darts, panel.waist[1:], strict=True), start=1):
        names = f"waist dart {k} inner", f"waist dart {k} outer"
        strokes += [
            Stroke(name, leg, EdgeKind.DART) for name, leg in zip(names, dart_legs(dart), strict=True)
        ]
        name = "waist side" if k == len(panel.darts) else f"waist middle {k + 1}"
        strokes.append(seam_stroke(making, name, after))
        darts.append(Dart("", f"waist dart {k}", dart.inner, dart.apex, dart.outer, names))
    return Drawn(
        tuple(strokes),
        panel.side,
        panel.hem,
        upright_grain(0.25 * panel.waist[0].end.x, hung),
        hem_depth(making, hung, straight_hem(hung)),
        tuple(darts),
        clear=panel.waist[0].length,
    )


def _hip_girth(
    making: Making, hung: Hang, hips: Mapping[str, list[tuple[Point, Point]]], spread: float = 0.0
) -> None:
    if not hung.reaches_hip:
        return
    lift = Point(0.0, hung.top)
    found = [Width(f"skirt {side}", a + lift, b + lift) for side in SIDES for a, b in hips[side]]
    hip_girth(making, found, spread)


def _pleat_depth(making: Making, hung: Hang) -> float:
    """Of the inverted pleat at the centre front, 0 without. Raises: BadChoice where the front opens."""
    if not making.choices.get("front_pleat", False):
        return 0.0
    if making.centre("skirt front").kind != "fold":
        raise BadChoice(
            "a front that opens has no pleat at its centre; choose no pleat, or another closure",
            field="front_pleat",
        )
    return min(making.house["pleat_depth"], _PLEAT_SHARE * hung.seams["front"])


def _with_pleat(drawn: Drawn, depth: float) -> Drawn:
    """The panel with an inverted pleat's half beyond its centre: out and back again, ``depth`` each."""
    if not depth:
        return drawn
    first, *others = drawn.waist

    def beyond(path: Path) -> Path:
        return Path.line(Point(path.start.x - 2 * depth, path.start.y), path.start).joined(path)

    waist = Stroke(first.name, beyond(first.path), first.kind, first.allowance)
    return replace(drawn, waist=(waist, *others), hem=beyond(drawn.hem))


def _fold_pleat(making: Making, hung: Hang, depth: float) -> None:
    """Mark the pleat: its fold, where it is brought to, and the way it goes."""
    front = making.shell("skirt front")
    edge = making.lines["skirt front waist"][0].edge
    top, foot = hung.top, hung.top - hung.length
    fold, place = (Path.line(Point(x, top), Point(x, foot)) for x in (0.0, -2 * depth))
    front.mark("front pleat fold", MarkKind.PLEAT_FOLD, fold)
    front.mark("front pleat placement", MarkKind.PLEAT_PLACEMENT, place)
    y = 0.25 * hung.hip_level
    arrow = Path.line(fold.point_at(y), place.point_at(y))
    front.mark("front pleat direction", MarkKind.PLEAT_PLACEMENT, arrow, arrow=True)
    cloth = front.path(edge).length
    limit = making.house["pleat_overlap"]
    shown = cloth - 2 * depth
    making.pleats.append(
        PleatRun(
            front.name, edge, INVERTED, cloth, shown, (2 * depth,), shown, max(0.0, depth - shown), limit
        )
    )
    making.note(
        Phase.SKIRT,
        "Fold and baste the pleat at the centre front; it may be stitched down to the hip line.",
    )


def _finish(making: Making, hung: Hang, pleated: float = 0.0) -> None:
    """Join the panels; ``pleated`` is what a pleat hides of half the front's waist, mm."""
    ease = {"front": pleated, "back": 0.0}
    hang_up(making, hung, Method.PLEATED if pleated else Method.PLAIN, ease)
    add_stand(making, hung)
    making.note(Phase.HEM, "Let the skirt hang for a night, level the hem, then turn it up.")
