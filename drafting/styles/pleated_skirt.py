"""A skirt pleated all round, as worn to school."""

from __future__ import annotations

from drafting.styles.parts.closures import BACK_ZIP, SIDE_ZIP, Closure, ZipIn
from drafting.styles.parts.part import composed
from drafting.styles.parts.skirts import PleatedSkirt
from drafting.styles.parts.waistband import Waistband

STYLE = composed(
    "pleated-skirt",
    "Pleated skirt",
    "Knife, box or inverted pleats all round, on a waistband: a school skirt.",
    (Closure((SIDE_ZIP, BACK_ZIP)), Waistband(), PleatedSkirt(), ZipIn()),
)
