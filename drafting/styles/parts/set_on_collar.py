"""A notched collar that is set on: lapels on the lapped front, a collar joined to them at the gorge.

Its stand is in one piece with it, or cut apart.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from drafting.blocks.sketch import Stroke
from drafting.details.collar import CollarSizes, NotchedCollar
from drafting.details.collars.lapel import gorge, roll_on, set_on
from drafting.details.collars.leaf import Ends
from drafting.details.collars.stand_cut import cut_apart
from drafting.making import Corner, Making, Phase, Run, back_along, run
from drafting.pattern import EdgeKind, Finished, MarkKind, Method
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.collar_layers import COLLAR, UNDER, layers
from drafting.styles.parts.collar_stands import add_stands, stand_name
from drafting.styles.parts.grown_on_collar import NOTCHED, SHAWL, GrownOnCollar
from drafting.styles.parts.lapels import (
    CHOICES,
    back_neck_facing,
    collar_sizes,
    front_edge,
    front_facing,
    lapel_collar,
    neck_share,
    reshape_front,
)

SET_ON = "set-on notched"
_LABELS = {
    SET_ON: "notched collar, set on",
    NOTCHED: "notched collar, in one piece with the front",
    SHAWL: "shawl collar",
}
_LAPEL = ("lapel top", "lapel edge")
IN_ONE, APART = "in one", "cut apart"
STAND_CUT = Choice(
    "collar_stand_cut",
    "Stand of the collar",
    "option",
    IN_ONE,
    ((IN_ONE, "in one piece with the collar"), (APART, "cut apart below the roll line")),
    help="Cut apart, its seam is taken up round the back of the neck, and the collar hugs it.",
)
_BELOW, _TAKEN = 6.0, 4.0  # mm: the seam below the roll, and shorter by (common practice, no source)


@dataclass(frozen=True, slots=True)
class SetOnCollar:
    """Reshapes the lapped front above its break; comes after the upper, instead of neckline and collar."""

    choices: tuple[Choice, ...] = (*CHOICES, STAND_CUT)
    needs: tuple[str, ...] = ("stature", "neck_base_girth", "armscye_depth")
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Draw lapels, facings, collar and under-collar. Raises: CannotDraft, BadChoice."""
        front = making.shell("front")
        sizes = collar_sizes(making)
        collar = lapel_collar(making, sizes)
        strokes = _strokes(making, collar)
        reshape_front(making, collar, strokes)
        making.lines["front neck"] = run(front.name, "neck")
        making.roll_lines.append(front.roll_line(collar.break_point, collar.roll_neck, _LAPEL))
        front_facing(making, collar, strokes)
        back_neck_facing(making)
        _collars(making, collar, sizes)
        _sew(making)
        making.finished.append(Finished("lapel width", sizes.lapel))


@dataclass(frozen=True, slots=True)
class LapelCollar:
    """One of the collars with lapels, the first its default: set on, grown on, or a shawl."""

    offered: tuple[str, ...] = (SET_ON, NOTCHED, SHAWL)
    needs: tuple[str, ...] = SetOnCollar().needs
    clashes: tuple[Clash, ...] = ()

    @property
    def choices(self) -> tuple[Choice, ...]:
        options = tuple((name, _LABELS[name]) for name in self.offered)
        apart = replace(STAND_CUT, only_with=("collar", (SET_ON,)))
        return (Choice("collar", "Collar", "option", self.offered[0], options), *CHOICES, apart)

    def make(self, making: Making) -> None:
        """Draw the collar chosen. Raises: CannotDraft, BadChoice."""
        chosen = making.chosen("collar", self.offered[0])
        part = SetOnCollar() if chosen == SET_ON else GrownOnCollar((chosen,))
        part.make(making)


def _strokes(making: Making, collar: NotchedCollar) -> list[Stroke]:
    """From the neck point along the gorge and round the lapel to the waist's front corner."""
    lines = (
        ("neck", gorge(collar)),
        ("lapel top", collar.lapel_top),
        ("lapel edge", collar.lapel),
        ("front edge", front_edge(making, collar)),
    )
    allowance = making.house["enclosed_allowance"]
    return [Stroke(name, path, EdgeKind.SEAM, allowance) for name, path in lines]


def _collars(making: Making, collar: NotchedCollar, sizes: CollarSizes) -> None:
    """Collar and under-collar, sewn together round their outer edge; each with its stand where cut apart."""
    ends = Ends(back_fold=not making.centre("back").halved, front_fold=False)
    leaf, roll = set_on(collar), roll_on(collar, sizes.stand)
    if _apart(making):
        below = min(_BELOW, sizes.stand / 3)
        seam = roll_on(collar, sizes.stand, below=below)
        parts = cut_apart(leaf, seam, roll, back=collar.neck.length, taken=_TAKEN * neck_share(making))
        layers(making, parts.fall, ends)
        add_stands(making, parts, ends)
        roll = parts.roll
    else:
        layers(making, leaf, ends)
    for name in (COLLAR, UNDER):
        making.sketches[name].mark("roll of the collar", MarkKind.GUIDE, roll)


def _apart(making: Making) -> bool:
    return making.chosen("collar_stand_cut", IN_ONE) == APART


def _neck_of(making: Making, layer: str) -> Run:
    """The neck edge of a layer of the collar, from the centre back to the notch."""
    stand = run(stand_name(layer), "collar neck") if _apart(making) else ()
    return (*stand, *run(layer, "collar neck"))


def _sew(making: Making) -> None:
    """Under-collar to the neckline, collar to the facings, then round the lapels and down the front."""
    shell, facing, back = making.shells["front"], "front facing", "back neck facing"
    making.sew(
        Phase.FACINGS,
        "shoulder of the facings",
        run(facing, "facing shoulder"),
        run(back, "facing shoulder"),
    )
    making.smooth(
        "free edge of the neck facings at the shoulder",
        *(Corner(piece, "facing inner", "facing shoulder") for piece in (facing, back)),
    )
    making.square("back neck at the centre back", Corner(making.shells["back"], "neck", "centre back"))
    neck = back_along(making.lines["back neck"]) + making.lines["front neck"]
    faced: Run = back_along(run(back, "neck")) + run(facing, "neck")
    making.sew(Phase.NECK, "under-collar to the neckline", _neck_of(making, UNDER), neck)
    making.sew(Phase.NECK, "collar to the facings", _neck_of(making, COLLAR), faced)
    for edge in _LAPEL:
        making.sew(Phase.NECK, edge, run(shell, edge), run(facing, edge), Method.ENCLOSED)
    making.sew(Phase.NECK, "front edge", run(shell, "front edge"), run(facing, "front edge"), Method.FACED)
    stand = ("waist extension", "waist centre")
    making.sew(Phase.WAIST, "facing at the waist", run(shell, *stand), run(facing, *stand), Method.LINED)
    _note(making)


def _note(making: Making) -> None:
    parted = making.centre("back").halved
    making.note(
        Phase.NECK,
        "Set-on collar: interface under-collar and facings. "
        + (
            "Sew each stand to its fall, clip the seam, press it open and edge-stitch it on both sides. "
            if _apart(making)
            else ""
        )
        + "Sew the under-collar to the neckline and the "
        "collar to the facings, from notch to notch; clip the neckline's corner to the stitching. Lay both "
        "together, sew round the lapels to the notch and round the collar, grade and turn; catch the two "
        "neck seams together inside."
        + (
            " Close the collar's ends at the centre back; set a hook and eye above the zip." if parted else ""
        ),
    )
