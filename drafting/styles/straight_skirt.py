"""Fitted by darts and straight to the hem, or A-line with a dart closed into flare; on a waistband."""

from __future__ import annotations

from drafting.styles.parts.band_loops import BandLoops
from drafting.styles.parts.closures import BACK_ZIP, FRONT_BUTTONS, SIDE_ZIP, Closure, ZipIn
from drafting.styles.parts.ease import Ease
from drafting.styles.parts.part import composed
from drafting.styles.parts.pockets import Pockets
from drafting.styles.parts.skirts import LINE_SKIRT, AnySkirt, SkirtLining
from drafting.styles.parts.skirts.any import A_LINE, STRAIGHT
from drafting.styles.parts.waistband import Waistband

STYLE = composed(
    "straight-skirt",
    "Straight or A-line skirt",
    "Fitted by darts and straight to the hem, or A-line with a dart closed into flare; on a waistband.",
    (
        Ease(),
        Closure((BACK_ZIP, SIDE_ZIP, FRONT_BUTTONS)),
        Waistband(),
        AnySkirt((STRAIGHT, A_LINE)),
        SkirtLining((LINE_SKIRT,)),
        Pockets(),
        BandLoops(),
        ZipIn(),
    ),
)
