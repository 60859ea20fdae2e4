"""A shift: it hangs from the shoulders, straight or slightly flared."""

from __future__ import annotations

from drafting.styles.choices import Clash
from drafting.styles.parts.belts import Belt
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
from drafting.styles.parts.linings import BODICE, FULL, NO_LINING, Lining
from drafting.styles.parts.necklines import Neckline
from drafting.styles.parts.part import composed
from drafting.styles.parts.sleeves import Sleeves
from drafting.styles.parts.style_lines import (
    ARMHOLE,
    NECK,
    NECK_GATHERS,
    NECK_TUCK,
    SHOULDER,
    SIDE,
    DartPlace,
)
from drafting.styles.parts.uppers import Shift

STYLE = composed(
    "shift-dress",
    "Shift dress",
    "In one piece from the shoulder to the hem, loose at the waist; with or without sleeves.",
    (
        Ease(choices=(SIT, CLOTH_KIND, ROOM)),
        Closure((BACK_ZIP, NONE, FRONT_BUTTONS, FOLDED_PLACKET, HALF_PLACKET, HOOK)),
        Shift(),
        Neckline(),
        Sleeves(),
        Lining((NO_LINING, BODICE, FULL), in_one_piece=True),
        DartPlace((SIDE, SHOULDER, ARMHOLE, NECK, NECK_GATHERS, NECK_TUCK)),
        ZipIn(),
        Belt(),
        FrontButtons(),
    ),
    (
        Clash(
            "closure",
            (FRONT_BUTTONS,),
            "lining",
            (BODICE, FULL),
            "A front buttoned to the hem is faced and not lined: choose another closure or no lining.",
        ),
    ),
)
