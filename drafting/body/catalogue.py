"""The measurements, in the order in which they are taken.

The names are ISO 8559-1 terms in snake case. The ranges are wide: a value outside them belongs to no
wearer from two years old to the tallest and the stoutest adult (common practice, no source); what is
merely unlikely is asked about in ``drafting.body.questions``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final


@dataclass(frozen=True, slots=True)
class Measurement:
    """One row of the catalogue. ``low_mm`` and ``high_mm`` bound every human wearer."""

    name: str
    iso_term: str
    word: str
    how: str
    low_mm: float
    high_mm: float
    essential: bool = False


_ROWS: Final = (
    Measurement(
        "stature",
        "stature",
        "height",
        "Without shoes, back and heels to a wall, looking straight ahead: from the floor to the crown of "
        "the head.",
        600,
        2500,
        essential=True,
    ),
    Measurement(
        "bust_girth",
        "bust girth",
        "bust",
        "Around the fullest part of the bust, the tape level all round and not tight, arms hanging. "
        "For a child or a man: around the chest at the same level.",
        350,
        2200,
        essential=True,
    ),
    Measurement(
        "waist_girth",
        "waist girth",
        "waist",
        "Tie a cord around the middle and let it settle at the natural waist, the narrowest place, above the "
        "navel; measure along the cord and leave it on for the lengths that follow.",
        320,
        2300,
        essential=True,
    ),
    Measurement(
        "hip_girth",
        "hip girth",
        "hip",
        "Around the fullest part of the seat, feet together, the tape level all round.",
        350,
        2500,
        essential=True,
    ),
    Measurement(
        "neck_base_girth",
        "neck base girth",
        "neck",
        "Around the foot of the neck where a necklace lies, over the nape bone behind and the hollow in "
        "front; stand the tape on its edge.",
        180,
        700,
    ),
    Measurement(
        "shoulder_length",
        "shoulder length",
        "shoulder",
        "From the side of the neck at its foot, along the top of the shoulder, to the shoulder bone.",
        40,
        230,
    ),
    Measurement(
        "back_width",
        "back width",
        "across back",
        "Across the shoulder blades, half-way down the armhole, from arm crease to arm crease.",
        140,
        700,
    ),
    Measurement(
        "chest_width",
        "chest width",
        "across chest",
        "Across the front above the bust, half-way down the armhole, from arm crease to arm crease.",
        130,
        700,
    ),
    Measurement(
        "bust_point_width",
        "bust point width",
        "bust points apart",
        "Straight from one bust point to the other, the tape not sunk between them.",
        60,
        450,
    ),
    Measurement(
        "neck_to_bust_point",
        "side neck point to bust point",
        "neck to bust point",
        "From the side of the neck at its foot down to the bust point.",
        90,
        550,
    ),
    Measurement(
        "front_waist_length",
        "front waist length",
        "front length",
        "From the side of the neck at its foot, over the bust point, down to the cord at the waist.",
        150,
        750,
    ),
    Measurement(
        "back_waist_length",
        "back waist length",
        "back length",
        "From the nape bone, head a little bent to find it, down the spine to the cord at the waist.",
        140,
        650,
    ),
    Measurement(
        "armscye_depth",
        "armscye depth",
        "armhole depth",
        "With a strip of paper held level under the arms: from the nape bone down the spine to the paper.",
        60,
        400,
    ),
    Measurement(
        "armscye_girth",
        "armscye girth",
        "armhole",
        "Over the shoulder bone and through under the arm, the arm hanging, the tape touching all round.",
        130,
        900,
    ),
    Measurement(
        "upper_arm_girth",
        "upper arm girth",
        "upper arm",
        "Around the thickest part of the upper arm, the arm hanging loose.",
        100,
        800,
    ),
    Measurement(
        "arm_length",
        "arm length",
        "arm",
        "From the shoulder bone over the slightly bent elbow to the wrist bone.",
        140,
        950,
    ),
    Measurement(
        "wrist_girth",
        "wrist girth",
        "wrist",
        "Around the wrist, over the wrist bone.",
        70,
        350,
    ),
    Measurement(
        "waist_to_hip",
        "waist to hip",
        "waist to hip",
        "At the side, from the cord at the waist down to the level of the hip girth.",
        40,
        400,
    ),
    Measurement(
        "body_rise",
        "body rise",
        "body rise",
        "Sitting upright on a hard chair, at the side: from the cord at the waist straight down to the seat. "
        "Only for trousers.",
        60,
        600,
    ),
    Measurement(
        "waist_to_knee",
        "waist to knee",
        "waist to knee",
        "At the side, from the cord at the waist over the hip down to the middle of the knee.",
        150,
        1000,
    ),
    Measurement(
        "waist_height",
        "waist height",
        "waist to floor",
        "Without shoes, at the side: from the cord at the waist over the hip to the floor.",
        300,
        1700,
    ),
)

CATALOGUE: Final[Mapping[str, Measurement]] = MappingProxyType({row.name: row for row in _ROWS})
LATER: Final = ("body_rise",)
"""Measurements that drafts stored before them do not have."""
ESSENTIAL: Final[tuple[str, ...]] = tuple(row.name for row in _ROWS if row.essential)
