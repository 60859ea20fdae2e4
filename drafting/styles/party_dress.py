"""A party dress: a fitted bodice and a wide skirt."""

from __future__ import annotations

from drafting.details.necklines import ROUND, SCOOP, SQUARE, VEE
from drafting.styles.parts.belts import NO_BELT, STRAIGHT, TIED, Belt
from drafting.styles.parts.closures import BACK_ZIP, SIDE_ZIP, Closure, ZipIn
from drafting.styles.parts.ease import CLOTH_KIND, SIT, Ease, room_with
from drafting.styles.parts.linings import BODICE, FULL, NO_LINING, Lining
from drafting.styles.parts.necklines import Neckline
from drafting.styles.parts.part import composed
from drafting.styles.parts.side_zips import SideZipIn
from drafting.styles.parts.skirts import AnySkirt, SkirtLining
from drafting.styles.parts.skirts.any import CIRCLE, GATHERED, GORED
from drafting.styles.parts.sleeves import Sleeves
from drafting.styles.parts.style_lines import (
    ARMHOLE,
    NECK,
    NECK_GATHERS,
    NECK_TUCK,
    SHOULDER,
    SIDE,
    WAIST,
    DartPlace,
)
from drafting.styles.parts.uppers import FittedBodice
from drafting.styles.parts.uppers.bodices import DROPPED, NATURAL, RAISED

STYLE = composed(
    "party-dress",
    "Party dress",
    "Fitted bodice and a gathered, circle or gored skirt; with or without sleeves, lining and sash.",
    (
        Ease(choices=(SIT, CLOTH_KIND, room_with("waist_seam", RAISED, DROPPED))),
        Closure((BACK_ZIP, SIDE_ZIP)),
        FittedBodice((NATURAL, RAISED, DROPPED)),
        Neckline((SCOOP, ROUND, SQUARE, VEE)),
        Sleeves(),
        AnySkirt((GATHERED, CIRCLE, GORED)),
        Lining((NO_LINING, BODICE, FULL)),
        SkirtLining(),
        DartPlace((SIDE, SHOULDER, ARMHOLE, NECK, NECK_GATHERS, NECK_TUCK, WAIST)),
        ZipIn(),
        SideZipIn(),
        Belt((NO_BELT, TIED, STRAIGHT)),
    ),
)
