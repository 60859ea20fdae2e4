"""A gathered skirt of up to three tiers on a waistband."""

from __future__ import annotations

from drafting.styles.parts.closures import BACK_ZIP, FRONT_BUTTONS, NONE, SIDE_ZIP, Closure, ZipIn
from drafting.styles.parts.part import composed
from drafting.styles.parts.skirts import GatheredSkirt
from drafting.styles.parts.waistband import Waistband

STYLE = composed(
    "tiered-skirt",
    "Gathered or tiered skirt",
    "One to three tiers, each gathered into the one above it; on a waistband or on elastic.",
    (
        Closure((NONE, SIDE_ZIP, BACK_ZIP, FRONT_BUTTONS)),
        Waistband(),
        GatheredSkirt(most=3, default=3),
        ZipIn(),
    ),
)
