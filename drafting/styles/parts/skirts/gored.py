"""Gored skirts: four, six or eight panels, fitted to the hip by their seams and flaring below it."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians

from drafting.blocks.centre import Centre
from drafting.blocks.sketch import Sketch, Stroke
from drafting.blocks.skirts.gores import COUNTS, Gore, bend, centre_gore, edges, hip_widths, side_gore
from drafting.blocks.skirts.panel import SkirtSizes
from drafting.geometry import Path, Point, rotated
from drafting.making import Corner, Making, Phase, Width, run
from drafting.pattern import Cut, EdgeKind, Method
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
    seam_stroke,
    straight_hem,
    upright_grain,
)
from drafting.styles.parts.skirts.joining import hang_up, hip_girth
from drafting.styles.parts.skirts.stand import add_stand

_WORDS = {4: "four", 6: "six", 8: "eight"}
_FLARES = {"little": 4.0, "medium": 8.0, "full": 14.0}  # degrees, at each edge (common practice, no source)
GORES = Choice("gores", "Gores", "option", "6", tuple((str(n), f"{_WORDS[n]} gores") for n in COUNTS))
FLARE = Choice(
    "flare",
    "Flare below the hip",
    "option",
    "medium",
    (("little", "a little"), ("medium", "medium"), ("full", "full")),
)


@dataclass(frozen=True, slots=True)
class GoredSkirt:
    """Gores flare from the hip. Four and eight have a seam at the centres, six a whole gore there."""

    choices: tuple[Choice, ...] = (SKIRT_LENGTH, GORES, FLARE)
    needs: tuple[str, ...] = NEEDS
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Draw the gores and join them. Raises: BadChoice, CannotDraft."""
        hung = hang(making, fitted=True)
        count = int(making.chosen("gores", "6"))
        flare = radians(_FLARES[making.chosen("flare", "medium")])
        widths = [width for side in SIDES for width in _add(making, side, count, flare, hung)]
        hang_up(making, hung, Method.PLAIN, dict.fromkeys(SIDES, 0.0))
        add_stand(making, hung)
        if hung.reaches_hip:
            hip_girth(making, widths)
        making.note(
            Phase.SKIRT, "Mark the gores as they follow one another; sew all seams from the hem upward."
        )


def _add(making: Making, side: str, count: int, flare: float, hung: Hang) -> list[Width]:
    """Draw the gores of a quarter and sew them together; their widths at the hip."""
    role = f"skirt {side}"
    if count != 6 and making.centre(role).kind == "fold":
        making.centres[role] = Centre("seam")
    hips = hip_widths(count, hung.hips[side])
    # Each edge takes in as much, so that what is sewn together is shaped alike.
    each = (hung.hips[side] - hung.seams[side]) / edges(count)
    # A lone gore with a seam at its centre flares at one edge for both.
    lone = 2 * flare if count == 4 else flare
    first = SkirtSizes(hips[0] - each, hips[0], hung.hip_level, hung.length, 0.0, lone)
    bent = _bend(count, hung, each)
    if count == 4:
        return [_add_centre(making, side, first, bent, hung)]
    second = SkirtSizes(hips[1] - 2 * each, hips[1], hung.hip_level, hung.length, 0.0, flare)
    gore = side_gore(second, bent, hips[0] + hips[1] / 2)
    return [_add_centre(making, side, first, bent, hung), _add_side(making, side, gore, hung)]


def _bend(count: int, hung: Hang, each: float) -> float:
    """Front and back bend to their edges alike: as much as the narrower of them has room for."""
    hips = hip_widths(count, min(hung.hips.values()))
    halves = [hips[0] - each] + ([hips[1] / 2 - each] if count != 4 else [])
    return bend(min(halves))


def _add_centre(making: Making, side: str, sizes: SkirtSizes, bent: float, hung: Hang) -> Width:
    """The centre gore; a whole one with a seam at the centre has its grain along its middle."""
    panel = centre_gore(sizes, bent)
    a, b = upright_grain(0.45 * sizes.waist, hung)
    turned = making.centre(f"skirt {side}").halved and making.chosen("gores", "6") != "6"
    grain = (rotated(a, sizes.flare / 2, b), b) if turned else (a, b)
    drawn = Drawn(
        (seam_stroke(making, "waist", panel.waist),),
        panel.side,
        panel.hem,
        grain,
        hem_depth(making, hung, straight_hem(hung)),
    )
    sketch = add_panel(making, side, drawn, hung)
    lift = Point(0.0, hung.top)
    return Width(sketch.name, Point(0.0, panel.hip_side.y) + lift, panel.hip_side + lift)


def _add_side(making: Making, side: str, gore: Gore, hung: Hang) -> Width:
    """The gore between the centre one and the side seam."""
    role, name, house = f"skirt {side}", f"skirt side {side}", making.house

    def lifted(path: Path) -> Path:
        return path.translated(0.0, hung.top)

    x = (gore.hip[0].x + gore.hip[1].x) / 2
    a, b = upright_grain(x, hung)
    making.add(
        Sketch(
            name,
            [
                seam_stroke(making, "waist", lifted(gore.waist)),
                Stroke("side", lifted(gore.outer), EdgeKind.SEAM, house["side_allowance"]),
                Stroke("hem", lifted(gore.hem), EdgeKind.HEM, hem_depth(making, hung, straight_hem(hung))),
                seam_stroke(making, "gore seam", lifted(gore.inner)),
            ],
            (Cut("shell", 2, mirrored=True),),
            (Point(a.x, a.y + hung.top), Point(b.x, b.y + hung.top)),
            is_front=side == "front",
            turned=("hem",),
        )
    )
    making.shells[name] = name
    centre = making.sketches[role]
    seam = centre.stroke("side")
    centre.put("side", seam_stroke(making, "gore seam", seam.path))
    making.sew(Phase.PANELS, f"gore seam, {side}", run(role, "gore seam"), run(name, "gore seam"))
    for line in ("waist", "hem"):
        corners = Corner(role, line, "gore seam"), Corner(name, line, "gore seam")
        making.smooth(f"{line} across the gore seam, {side}", *corners)
        making.lines[f"{role} {line}"] += run(name, line)
    making.lines[f"{role} side"] = run(name, "side")
    lift = Point(0.0, hung.top)
    return Width(name, gore.hip[0] + lift, gore.hip[1] + lift)
