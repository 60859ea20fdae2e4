"""A school dress: fitted bodice with a collar, sleeves, and a skirt pleated all round."""

from __future__ import annotations

from drafting.details.necklines import ROUND, SCOOP, VEE
from drafting.styles.parts.buttons import FrontButtons
from drafting.styles.parts.closures import BACK_ZIP, FOLDED_PLACKET, FRONT_BUTTONS, Closure, ZipIn
from drafting.styles.parts.collars import FLAT, NO_COLLAR, SHIRT, STAND, TURNOVER, Collar
from drafting.styles.parts.ease import Ease
from drafting.styles.parts.linings import BODICE, FULL, NO_LINING, Lining
from drafting.styles.parts.necklines import Neckline
from drafting.styles.parts.part import composed
from drafting.styles.parts.skirts import PleatedSkirt, SkirtLining
from drafting.styles.parts.sleeves import NO_SLEEVE, SHORT, Sleeves
from drafting.styles.parts.uppers import FittedBodice

STYLE = composed(
    "school-dress",
    "School dress",
    "Fitted bodice with a flat or another collar, short sleeves, waist seam and pleated skirt.",
    (
        Ease(),
        Closure((BACK_ZIP, FRONT_BUTTONS, FOLDED_PLACKET)),
        FittedBodice(),
        Neckline((ROUND, SCOOP, VEE)),
        Collar((FLAT, TURNOVER, STAND, SHIRT, NO_COLLAR)),
        Sleeves((SHORT, NO_SLEEVE)),
        PleatedSkirt(),
        Lining((NO_LINING, BODICE, FULL)),
        SkirtLining(),
        ZipIn(),
        FrontButtons(),
    ),
)
