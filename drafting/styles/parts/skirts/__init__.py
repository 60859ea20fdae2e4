"""Skirts: each hangs from the waist that a bodice or a waistband has drawn."""

from drafting.styles.parts.skirts.any import AnySkirt
from drafting.styles.parts.skirts.circle import CircleSkirt
from drafting.styles.parts.skirts.gathered import GatheredSkirt
from drafting.styles.parts.skirts.gored import GoredSkirt
from drafting.styles.parts.skirts.hanging import SKIRT_LENGTH
from drafting.styles.parts.skirts.lining import CHOICE as LINE_SKIRT
from drafting.styles.parts.skirts.lining import SkirtLining
from drafting.styles.parts.skirts.pleated import PleatedSkirt
from drafting.styles.parts.skirts.straight import ALineSkirt, StraightSkirt

__all__ = [
    "LINE_SKIRT",
    "SKIRT_LENGTH",
    "ALineSkirt",
    "AnySkirt",
    "CircleSkirt",
    "GatheredSkirt",
    "GoredSkirt",
    "PleatedSkirt",
    "SkirtLining",
    "StraightSkirt",
]
