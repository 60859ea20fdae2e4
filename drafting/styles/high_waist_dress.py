"""A child's dress with a raised waist: a plain short bodice and a gathered skirt."""

from __future__ import annotations

from drafting.details.necklines import ROUND, SCOOP, SQUARE
from drafting.styles.parts.belts import NO_BELT, STRAIGHT, Belt
from drafting.styles.parts.buttons import FrontButtons
from drafting.styles.parts.closures import BACK_ZIP, FRONT_BUTTONS, Closure, ZipIn
from drafting.styles.parts.ease import CLOTH_KIND, ROOM, SIT, Ease
from drafting.styles.parts.linings import BODICE, FULL, NO_LINING, Lining
from drafting.styles.parts.necklines import Neckline
from drafting.styles.parts.part import composed
from drafting.styles.parts.skirts import GatheredSkirt, SkirtLining
from drafting.styles.parts.sleeves import Sleeves
from drafting.styles.parts.uppers import PlainBodice
from drafting.styles.parts.uppers.bodices import NATURAL, RAISED

STYLE = composed(
    "high-waist-dress",
    "Child's dress with a raised waist",
    "A plain bodice to a seam under the chest, or at the waist, and a gathered skirt.",
    (
        Ease(choices=(SIT, CLOTH_KIND, ROOM)),
        Closure((BACK_ZIP, FRONT_BUTTONS)),
        PlainBodice((RAISED, NATURAL)),
        Neckline((ROUND, SCOOP, SQUARE)),
        Sleeves(),
        GatheredSkirt(),
        Lining((NO_LINING, BODICE, FULL)),
        SkirtLining(),
        ZipIn(),
        Belt((NO_BELT, STRAIGHT)),
        FrontButtons(),
    ),
)
