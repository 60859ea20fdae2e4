"""The upper garment: a bodice to a seam at the waist, or front and back in one piece to the hem."""

from drafting.styles.parts.uppers.bodices import FittedBodice, PlainBodice
from drafting.styles.parts.uppers.one_piece import ALine, Sheath, Shift, Tunic
from drafting.styles.parts.uppers.shell import BODICE_NEEDS, base_neck, join_shells, meeting

__all__ = [
    "BODICE_NEEDS",
    "ALine",
    "FittedBodice",
    "PlainBodice",
    "Sheath",
    "Shift",
    "Tunic",
    "base_neck",
    "join_shells",
    "meeting",
]
