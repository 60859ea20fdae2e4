"""A coat dress: fitted, buttoned to the hem, with lapels and a flared skirt."""

from __future__ import annotations

from drafting.styles.parts.buttons import FrontButtons
from drafting.styles.parts.closures import FRONT_BUTTONS, Closure
from drafting.styles.parts.ease import Ease
from drafting.styles.parts.linings import BODICE, FULL, NO_LINING, Lining
from drafting.styles.parts.part import composed
from drafting.styles.parts.princess import ARMHOLE, NO_LINE, SHOULDER, PrincessLines
from drafting.styles.parts.set_on_collar import LapelCollar
from drafting.styles.parts.skirts import ALineSkirt, SkirtLining
from drafting.styles.parts.sleeves import ELBOW, LONG, NO_SLEEVE, SHORT, THREE_QUARTER, Sleeves
from drafting.styles.parts.uppers import FittedBodice

STYLE = composed(
    "coat-dress",
    "Coat dress",
    "Buttoned to the hem, with a notched or a shawl collar, waist seam and flared skirt.",
    (
        Ease(),
        Closure((FRONT_BUTTONS,)),
        FittedBodice(),
        LapelCollar(),
        Sleeves((LONG, THREE_QUARTER, ELBOW, SHORT, NO_SLEEVE)),
        ALineSkirt(),
        Lining((NO_LINING, BODICE, FULL)),
        SkirtLining(),
        PrincessLines((NO_LINE, SHOULDER, ARMHOLE)),
        FrontButtons(),
    ),
)
