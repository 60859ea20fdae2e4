"""A dress with princess lines: panels instead of darts, and a skirt of several kinds."""

from __future__ import annotations

from drafting.styles.parts.belts import Belt
from drafting.styles.parts.buttons import FrontButtons
from drafting.styles.parts.closures import BACK_ZIP, FRONT_BUTTONS, SIDE_ZIP, Closure, ZipIn
from drafting.styles.parts.ease import Ease
from drafting.styles.parts.linings import BODICE, FULL, NO_LINING, Lining
from drafting.styles.parts.necklines import Neckline
from drafting.styles.parts.part import composed
from drafting.styles.parts.side_zips import SideZipIn
from drafting.styles.parts.skirts import AnySkirt, SkirtLining
from drafting.styles.parts.skirts.any import A_LINE, CIRCLE, GATHERED, GORED
from drafting.styles.parts.sleeves import Sleeves
from drafting.styles.parts.style_lines import PrincessLines
from drafting.styles.parts.uppers import FittedBodice

STYLE = composed(
    "princess-dress",
    "Princess dress",
    "Bodice fitted by seams that run from shoulder or armhole over the bust to the waist; with a skirt.",
    (
        Ease(),
        Closure((BACK_ZIP, SIDE_ZIP, FRONT_BUTTONS)),
        FittedBodice(),
        Neckline(),
        Sleeves(),
        AnySkirt((GORED, CIRCLE, A_LINE, GATHERED)),
        Lining((NO_LINING, BODICE, FULL)),
        SkirtLining(),
        PrincessLines(),
        ZipIn(),
        SideZipIn(),
        Belt(),
        FrontButtons(),
    ),
)
