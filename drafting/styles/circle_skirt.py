"""A quarter, a half, three quarters of a circle or a whole one; on a waistband or on elastic."""

from __future__ import annotations

from drafting.styles.parts.band_loops import BandLoops
from drafting.styles.parts.closures import BACK_ZIP, ELASTIC, FRONT_BUTTONS, SIDE_ZIP, Closure, ZipIn
from drafting.styles.parts.ease import Ease
from drafting.styles.parts.part import composed
from drafting.styles.parts.pockets import NO_POCKETS, SIDE_POCKETS, Pockets
from drafting.styles.parts.skirts import LINE_SKIRT, CircleSkirt, SkirtLining
from drafting.styles.parts.waistband import Waistband

STYLE = composed(
    "circle-skirt",
    "Circle skirt",
    "A quarter, a half, three quarters of a circle or a whole one; on a waistband or on elastic.",
    (
        Ease(),
        Closure((SIDE_ZIP, BACK_ZIP, FRONT_BUTTONS, ELASTIC)),
        Waistband(),
        CircleSkirt(),
        SkirtLining((LINE_SKIRT,)),
        Pockets((NO_POCKETS, SIDE_POCKETS)),
        BandLoops(),
        ZipIn(),
    ),
)
