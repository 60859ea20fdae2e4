"""A sheath: fitted at bust, waist and hip by darts, without a waist seam."""

from __future__ import annotations

from drafting.styles.parts.belts import Belt
from drafting.styles.parts.closures import BACK_ZIP, SIDE_ZIP, Closure, ZipIn
from drafting.styles.parts.ease import Ease
from drafting.styles.parts.linings import BODICE, FULL, NO_LINING, Lining
from drafting.styles.parts.necklines import Neckline
from drafting.styles.parts.part import composed
from drafting.styles.parts.princess import ARMHOLE, NO_LINE, SHOULDER, PrincessLines
from drafting.styles.parts.side_zips import SideZipIn
from drafting.styles.parts.sleeves import Sleeves
from drafting.styles.parts.style_lines import NECK, NECK_GATHERS, NECK_TUCK, SIDE, DartPlace
from drafting.styles.parts.uppers import Sheath

STYLE = composed(
    "sheath-dress",
    "Sheath dress",
    "In one piece, fitted by darts or princess lines; zip at the back, a vent or slits to walk.",
    (
        Ease(),
        Closure((BACK_ZIP, SIDE_ZIP)),
        Sheath(),
        Neckline(),
        Sleeves(),
        Lining((NO_LINING, BODICE, FULL), in_one_piece=True),
        DartPlace((SIDE, SHOULDER, ARMHOLE, NECK, NECK_GATHERS, NECK_TUCK)),
        PrincessLines((NO_LINE, SHOULDER, ARMHOLE)),
        ZipIn(),
        SideZipIn(),
        Belt(),
    ),
)
