"""Four, six or eight gores, fitted to the hip and flaring below it; on a waistband."""

from __future__ import annotations

from drafting.styles.parts.band_loops import BandLoops
from drafting.styles.parts.closures import BACK_ZIP, ELASTIC, FRONT_BUTTONS, SIDE_ZIP, Closure, ZipIn
from drafting.styles.parts.ease import Ease
from drafting.styles.parts.part import composed
from drafting.styles.parts.pockets import NO_POCKETS, SIDE_POCKETS, Pockets
from drafting.styles.parts.skirts import LINE_SKIRT, GoredSkirt, SkirtLining
from drafting.styles.parts.waistband import Waistband

STYLE = composed(
    "gored-skirt",
    "Gored skirt",
    "Four, six or eight gores, fitted to the hip and flaring below it; on a waistband.",
    (
        Ease(),
        Closure((BACK_ZIP, SIDE_ZIP, FRONT_BUTTONS, ELASTIC)),
        Waistband(),
        GoredSkirt(),
        SkirtLining((LINE_SKIRT,)),
        Pockets((NO_POCKETS, SIDE_POCKETS)),
        BandLoops(),
        ZipIn(),
    ),
)
