"""One to three tiers, each gathered into the one above it; on elastic or on a waistband."""

from __future__ import annotations

from drafting.styles.parts.closures import BACK_ZIP, ELASTIC, FRONT_BUTTONS, SIDE_ZIP, Closure, ZipIn
from drafting.styles.parts.ease import CLOTH_KIND, SIT, Ease, room_with
from drafting.styles.parts.part import composed
from drafting.styles.parts.pockets import NO_POCKETS, SIDE_POCKETS, Pockets
from drafting.styles.parts.skirts import LINE_SKIRT, GatheredSkirt, SkirtLining
from drafting.styles.parts.waistband import Waistband

STYLE = composed(
    "tiered-skirt",
    "Gathered or tiered skirt",
    "One to three tiers, each gathered into the one above it; on elastic or on a waistband.",
    (
        Ease(choices=(SIT, CLOTH_KIND, room_with("closure", ELASTIC))),
        Closure((ELASTIC, SIDE_ZIP, BACK_ZIP, FRONT_BUTTONS)),
        Waistband(),
        GatheredSkirt(most=3, default=3),
        SkirtLining((LINE_SKIRT,)),
        Pockets((NO_POCKETS, SIDE_POCKETS)),
        ZipIn(),
    ),
)
