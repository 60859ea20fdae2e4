"""A play dress: flared from the underarm, for babies and children, and for whoever likes room."""

from __future__ import annotations

from drafting.details.necklines import KEYHOLE, ROUND, SCOOP, SQUARE
from drafting.styles.parts.buttons import FrontButtons
from drafting.styles.parts.closures import (
    BACK_ZIP,
    FOLDED_PLACKET,
    FRONT_BUTTONS,
    HALF_PLACKET,
    HOOK,
    NONE,
    Closure,
    ZipIn,
)
from drafting.styles.parts.ease import CLOTH_KIND, ROOM, SIT, Ease
from drafting.styles.parts.necklines import Neckline
from drafting.styles.parts.part import composed
from drafting.styles.parts.sleeves import Sleeves
from drafting.styles.parts.uppers import ALine

STYLE = composed(
    "play-dress",
    "Play dress",
    "Flared from the underarm in one line, from babies up; with or without sleeves.",
    (
        Ease(choices=(SIT, CLOTH_KIND, ROOM)),
        Closure((NONE, HOOK, FRONT_BUTTONS, FOLDED_PLACKET, HALF_PLACKET, BACK_ZIP)),
        ALine(),
        Neckline((ROUND, SCOOP, SQUARE, KEYHOLE)),
        Sleeves(),
        ZipIn(),
        FrontButtons(),
    ),
)
