"""Simple trousers on elastic, or on a waistband with a fly front or a zip at the side or the back."""

from __future__ import annotations

from drafting.styles.parts.band_loops import BandLoops
from drafting.styles.parts.closures import BACK_ZIP, ELASTIC, FLY, SIDE_ZIP, Closure, ZipIn
from drafting.styles.parts.ease import CLOTH_KIND, SIT, Ease, room_with
from drafting.styles.parts.part import composed
from drafting.styles.parts.pockets import Pockets
from drafting.styles.parts.trousers import Trousers
from drafting.styles.parts.waistband import Waistband

STYLE = composed(
    "trousers",
    "Trousers",
    "Straight, tapered or wide, down to shorts; on elastic, or on a waistband with a fly front or a zip.",
    (
        Ease(choices=(SIT, CLOTH_KIND, room_with("closure", ELASTIC))),
        Closure((ELASTIC, FLY, SIDE_ZIP, BACK_ZIP)),
        Waistband(),
        Trousers(),
        Pockets(),
        BandLoops(),
        ZipIn(),
    ),
)
