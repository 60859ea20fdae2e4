"""A choir robe: loose from the shoulders to the ankle, with wide bell sleeves."""

from __future__ import annotations

from drafting.details.necklines import ROUND, SCOOP, SQUARE, VEE
from drafting.styles.parts.buttons import FrontButtons
from drafting.styles.parts.closures import BACK_ZIP, FRONT_BUTTONS, HALF_PLACKET, HOOK, NONE, Closure, ZipIn
from drafting.styles.parts.ease import CLOTH_KIND, ROOM, SIT, Ease
from drafting.styles.parts.necklines import Neckline
from drafting.styles.parts.part import composed
from drafting.styles.parts.sleeves import BELL, HEM, LONG, USUAL, Sleeves
from drafting.styles.parts.uppers import ALine

STYLE = composed(
    "choir-robe",
    "Choir robe",
    "Flared from the underarm to the ankle, with bell sleeves that hang open at the wrist.",
    (
        Ease(choices=(SIT, CLOTH_KIND, ROOM)),
        Closure((NONE, BACK_ZIP, FRONT_BUTTONS, HALF_PLACKET, HOOK)),
        ALine(to_ankle=True),
        Neckline((ROUND, VEE, SCOOP, SQUARE)),
        Sleeves((BELL, LONG), ends=(USUAL, HEM), flat=True),
        ZipIn(),
        FrontButtons(),
    ),
)
