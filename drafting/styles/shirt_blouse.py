"""A shirt blouse: loose, buttoned in front, with a collar and cuffed sleeves set in flat."""

from __future__ import annotations

from drafting.details.necklines import ROUND
from drafting.styles.parts.buttons import FrontButtons
from drafting.styles.parts.closures import FOLDED_PLACKET, FRONT_BUTTONS, HALF_PLACKET, Closure
from drafting.styles.parts.collars import FLAT, NO_COLLAR, SHIRT, STAND, TIE, TURNOVER, Collar
from drafting.styles.parts.ease import CLOTH_KIND, ROOM, SIT, Ease
from drafting.styles.parts.necklines import Neckline
from drafting.styles.parts.part import composed
from drafting.styles.parts.sleeves import BISHOP, CUFF, ELBOW, LONG, SHORT, THREE_QUARTER, USUAL, Sleeves
from drafting.styles.parts.style_lines import BACK, BOTH, NO_YOKE, Yoke
from drafting.styles.parts.uppers import Tunic

STYLE = composed(
    "shirt-blouse",
    "Shirt blouse",
    "Loose, buttoned in front, with a shirt collar; the sleeves are set in flat and end in cuffs.",
    (
        Ease(choices=(SIT, CLOTH_KIND, ROOM)),
        Closure((FRONT_BUTTONS, FOLDED_PLACKET, HALF_PLACKET)),
        Tunic(),
        Neckline((ROUND,), finishes=("facing",)),
        Collar((SHIRT, STAND, TURNOVER, FLAT, TIE, NO_COLLAR)),
        Sleeves((LONG, BISHOP, THREE_QUARTER, ELBOW, SHORT), ends=(CUFF, USUAL), flat=True),
        Yoke((NO_YOKE, BACK, BOTH)),
        FrontButtons(),
    ),
)
