"""Simple trousers on elastic, or on a waistband with a zip at the side."""

from __future__ import annotations

from drafting.styles.parts.closures import ELASTIC, SIDE_ZIP, Closure
from drafting.styles.parts.ease import Ease
from drafting.styles.parts.part import composed
from drafting.styles.parts.pockets import Pockets
from drafting.styles.parts.trousers import Trousers
from drafting.styles.parts.waistband import Waistband

STYLE = composed(
    "trousers",
    "Trousers",
    "Straight, tapered or wide, down to shorts; on elastic, or fitted to a waistband with a zip at the side.",
    (
        Ease(),
        Closure((ELASTIC, SIDE_ZIP)),
        Waistband(),
        Trousers(),
        Pockets(),
    ),
)
