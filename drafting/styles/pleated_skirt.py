"""Knife, box or inverted pleats all round, on a waistband: a school skirt."""

from __future__ import annotations

from drafting.styles.parts.band_loops import BandLoops
from drafting.styles.parts.closures import BACK_ZIP, FRONT_BUTTONS, SIDE_ZIP, Closure, ZipIn
from drafting.styles.parts.ease import Ease
from drafting.styles.parts.part import composed
from drafting.styles.parts.skirts import LINE_SKIRT, PleatedSkirt, SkirtLining
from drafting.styles.parts.waistband import Waistband

STYLE = composed(
    "pleated-skirt",
    "Pleated skirt",
    "Knife, box or inverted pleats all round, on a waistband: a school skirt.",
    (
        Ease(),
        Closure((SIDE_ZIP, BACK_ZIP, FRONT_BUTTONS)),
        Waistband(),
        PleatedSkirt(),
        SkirtLining((LINE_SKIRT,)),
        BandLoops(),
        ZipIn(),
    ),
)
