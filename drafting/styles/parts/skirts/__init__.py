"""Skirts: each hangs from the waist that a bodice or a waistband has drawn."""

from drafting.styles.parts.skirts.gathered import GatheredSkirt
from drafting.styles.parts.skirts.hanging import SKIRT_LENGTH
from drafting.styles.parts.skirts.pleated import PleatedSkirt

__all__ = ["SKIRT_LENGTH", "GatheredSkirt", "PleatedSkirt"]
