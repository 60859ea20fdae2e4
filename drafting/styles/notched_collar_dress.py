"""A dress with a notched collar grown on to its front, and a pleated skirt. Sleeveless."""

from __future__ import annotations

from drafting.styles.parts.buttons import FrontButtons
from drafting.styles.parts.closures import BACK_ZIP, FRONT_BUTTONS, Closure, ZipIn
from drafting.styles.parts.grown_on_collar import GrownOnCollar, LappedFront
from drafting.styles.parts.linings import BODICE, FULL, NO_LINING, Lining
from drafting.styles.parts.part import composed
from drafting.styles.parts.princess import ARMHOLE, NO_LINE, SHOULDER, PrincessLines
from drafting.styles.parts.skirts import PleatedSkirt, SkirtLining
from drafting.styles.parts.sleeves import NO_SLEEVE, Sleeves
from drafting.styles.parts.uppers import FittedBodice

STYLE = composed(
    "notched-collar-dress",
    "Dress with notched collar and pleated skirt",
    "Sleeveless; lapel and collar in one piece with the front, waist seam, pleated skirt; zip at the back or "
    "buttons in front.",
    (
        Closure((BACK_ZIP, FRONT_BUTTONS)),
        LappedFront(),
        FittedBodice(),
        GrownOnCollar(),
        Sleeves((NO_SLEEVE,)),
        PleatedSkirt(),
        Lining((NO_LINING, BODICE, FULL)),
        SkirtLining(),
        PrincessLines((NO_LINE, SHOULDER, ARMHOLE)),
        ZipIn(),
        FrontButtons(),
    ),
)
