"""A collar grown on to a lapped front, notched or a shawl: lapel and collar in one piece with it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from drafting.blocks.centre import Centre
from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.collar import CollarSizes, NotchedCollar, folded
from drafting.details.collars.lapel import folded_shawl, shawl
from drafting.geometry import Path
from drafting.making import Corner, Making, Phase, Run, run
from drafting.pattern import EdgeKind, Finished, MarkKind, Method
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.lapels import (
    CHOICES,
    back_neck_facing,
    collar_sizes,
    front_edge,
    front_facing,
    lapel_collar,
    lapped,
    neck_share,
    reshape_front,
)

__all__ = ["NOTCHED", "SHAWL", "GrownOnCollar", "LappedFront", "lapped", "neck_share"]

NOTCHED, SHAWL = "notched", "shawl"
_SHAWL_NOTCH = 0.4  # of the lapel: the height at which a shawl goes over from collar to lapel is a notch's
LABELS = {NOTCHED: "notched collar", SHAWL: "shawl collar"}


@dataclass(frozen=True, slots=True)
class LappedFront:
    """A bodice front that laps over, whatever the closure: buttons hold it where it does not open.

    Comes after the closure, before the upper. The skirt's front laps only where it opens.
    """

    choices: tuple[Choice, ...] = ()
    needs: tuple[str, ...] = ("neck_base_girth", "armscye_depth")
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Give the front its extension."""
        opens = making.centre("front").kind == "buttons"
        making.centres |= {"front": lapped(making), "skirt front": lapped(making) if opens else Centre()}


@dataclass(frozen=True, slots=True)
class GrownOnCollar:
    """Reshapes the lapped front above its break; comes after the upper, in the place of neckline and collar.

    The choices are which of those offered, where the lapel breaks and the widths of lapel, collar and notch.
    """

    offered: tuple[str, ...] = (NOTCHED,)
    needs: tuple[str, ...] = ("stature", "neck_base_girth", "armscye_depth")
    clashes: tuple[Clash, ...] = ()

    @property
    def choices(self) -> tuple[Choice, ...]:
        if len(self.offered) == 1:
            return CHOICES
        options = tuple((name, LABELS[name]) for name in self.offered)
        return (Choice("collar", "Collar", "option", self.offered[0], options), *CHOICES)

    def make(self, making: Making) -> None:
        """Draw collar, lapel and facings, and sew them. Raises: CannotDraft, BadChoice."""
        front = making.shell("front")
        sizes = collar_sizes(making)
        shape = making.chosen("collar", self.offered[0])
        if shape == SHAWL:  # it has no notch that could be too wide
            sizes = replace(sizes, notch=min(sizes.notch, _SHAWL_NOTCH * sizes.lapel))
        collar = lapel_collar(making, sizes, folded_shawl if shape == SHAWL else folded)
        outer = outer_edges(collar, shape)
        strokes = _strokes(making, collar, outer)
        reshape_front(making, collar, strokes)
        _mark_roll_of_collar(front, collar, sizes)
        beyond = tuple(name for name, _ in outer if name != "collar edge")
        making.roll_lines.append(front.roll_line(collar.break_point, collar.roll_neck, beyond))
        front_facing(making, collar, strokes)
        back_neck_facing(making)
        _sew(making, tuple(name for name, _ in outer))
        _measure(making, collar, sizes)


def outer_edges(collar: NotchedCollar, shape: str) -> tuple[tuple[str, Path], ...]:
    """The outer edges of collar and lapel by name, from the centre back to the break."""
    if shape == SHAWL:
        above, below = shawl(collar)
        return (("collar edge", above), ("lapel edge", below))
    return (
        ("collar edge", collar.edge),
        ("collar notch", collar.notch),
        ("lapel top", collar.lapel_top),
        ("lapel edge", collar.lapel),
    )


def _strokes(making: Making, collar: NotchedCollar, outer: tuple[tuple[str, Path], ...]) -> list[Stroke]:
    """From the neck point round collar and lapel to the waist's front corner."""
    enclosed = making.house["enclosed_allowance"]
    at_back = enclosed if making.centre("back").halved else making.house["seam_allowance"]
    lines = (("collar neck", collar.neck), *outer, ("front edge", front_edge(making, collar)))
    strokes = [Stroke(name, path, EdgeKind.SEAM, enclosed) for name, path in lines]
    strokes.insert(1, Stroke("collar back", collar.back, EdgeKind.SEAM, at_back))
    return strokes


def _mark_roll_of_collar(front: Sketch, collar: NotchedCollar, sizes: CollarSizes) -> None:
    end = collar.neck.end + (collar.back.end - collar.back.start) * (sizes.stand / collar.back.length)
    path = Path.cubic(
        collar.roll_neck,
        collar.roll_neck + (collar.roll_top - collar.roll_neck) * (1 / 3),
        end - collar.neck.end_tangent * (collar.neck.length / 3),
        end,
    )
    front.mark("roll line of the collar", MarkKind.ROLL_LINE, path)


def _sew(making: Making, outer: tuple[str, ...]) -> None:
    """Collar to back neck, facing to facing, then round collar, lapel and front."""
    shell, facing, back = making.shells["front"], "front facing", "back neck facing"
    both = (shell, facing)
    if making.centre("back").halved:
        making.sew(Phase.NECK, "end of the collar", *_pair(making, "collar back"), Method.ENCLOSED)
    else:
        for piece, name in zip(both, ("the collar", "the facing's collar"), strict=True):
            line = run(piece, "collar back")
            making.sew(Phase.FACINGS, f"centre back of {name}", line, line, times=1)
    making.sew(
        Phase.FACINGS,
        "shoulder of the facings",
        run(facing, "facing shoulder"),
        run(back, "facing shoulder"),
    )
    making.sew(
        Phase.FACINGS, "facing's collar to back neck facing", run(facing, "collar neck"), run(back, "neck")
    )
    making.sew(Phase.NECK, "collar to back neck", run(shell, "collar neck"), making.lines["back neck"])
    for edge in outer:
        making.sew(Phase.NECK, edge, *_pair(making, edge), Method.ENCLOSED)
    making.sew(Phase.NECK, "front edge", *_pair(making, "front edge"), Method.FACED)
    stand = _pair(making, "waist extension", "waist centre")
    making.sew(Phase.WAIST, "facing at the waist", *stand, Method.LINED)
    making.square("back neck at the centre back", _at_centre_back(making))
    making.square("collar's outer edge at the centre back", Corner(shell, "collar edge", "collar back"))
    making.square("collar's neck edge at the centre back", Corner(shell, "collar neck", "collar back"))
    making.smooth(
        "free edge of the neck facings at the shoulder",
        *(Corner(piece, "facing inner", "facing shoulder") for piece in (facing, back)),
    )
    _note(making)


def _pair(making: Making, *edges: str) -> tuple[Run, Run]:
    """The same edges of the front and of its facing."""
    return run(making.shells["front"], *edges), run("front facing", *edges)


def _at_centre_back(making: Making) -> Corner:
    return Corner(making.shells["back"], "neck", "centre back")


def _note(making: Making) -> None:
    making.note(
        Phase.DARTS,
        "Before cutting: interface both front facings and the back neck facing; mark roll lines, centre "
        "lines and darts on both halves.",
    )
    making.note(
        Phase.SHOULDERS,
        "Sew the shoulder seams as far as the neck point and no further; clip the front's inner corner at "
        "the neck point to the stitching.",
    )
    if making.centre("back").halved:
        making.note(
            Phase.NECK,
            "Sew the collar's neck edge to the back neck, shell to shell and facing to facing. The collar is "
            "parted at the centre back: close each end, shell to facing; set a hook and eye above the zip.",
        )
    else:
        making.note(
            Phase.NECK,
            "Join the collar at the centre back, shell and facing each; then sew its neck edge to the back "
            "neck, shell to shell and facing to facing.",
        )
    making.note(
        Phase.NECK,
        "Round collar and lapel: sew shell to facing from the centre back to the front edge, pivot at the "
        "inner corner of the notch and clip it; grade, turn and press so that the seam rolls under: towards "
        "the shell above the break, towards the facing below it. Steam the collar over a rolled towel along "
        "the roll line; do not press the roll flat.",
    )
    if making.chosen("break_point") == "waist":
        making.note(
            Phase.HEM,
            "The front is open deep below the neck: wear it over a blouse, or sew in a modesty piece.",
        )


def _measure(making: Making, collar: NotchedCollar, sizes: CollarSizes) -> None:
    start, end = collar.break_point, collar.roll_neck
    crossing = start.y + (end.y - start.y) * (0.0 - start.x) / (end.x - start.x)
    neck = making.shell("front").path("shoulder").start
    making.finished += [
        Finished("front opening below the neck point", neck.y - crossing),
        Finished("collar width at the centre back", sizes.width),
        Finished("lapel width", sizes.lapel),
    ]
