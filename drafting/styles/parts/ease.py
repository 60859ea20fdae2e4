"""How much wider than the body a garment is: by how it sits, its cloth, its sleeves, and what will grow."""

from __future__ import annotations

from dataclasses import dataclass, replace

from drafting.blocks.bodice import armhole_girth, proportions
from drafting.blocks.rules import House
from drafting.blocks.sleeve_cap import lowered_by
from drafting.house import INCH
from drafting.making import Making, Phase
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.sleeve_plan import sleeve_lacks

FITTED = ("bust_ease", "waist_ease", "hip_ease", "skirt_waist_ease")
LOOSE = ("loose_bust_ease", "loose_waist_ease", "loose_hip_ease")
_WHOLE = 7 * INCH  # an armhole measure that has the whole ease (common practice, no source)
_LOWERED_MOST = (
    45.0  # mm for a stout arm: lower, and the sleeve lifts the garment (common practice, no source)
)
_UNSURE = 6.0  # mm by which the armhole reckoned beforehand may come out shorter
_ROOM_AT_BUST = 0.3  # of the room at waist and hip (common practice, no source)

SIT = Choice(
    "sit",
    "How it sits",
    "option",
    "as the house has it",
    (("as the house has it", "as we usually cut it"), ("loose", "looser")),
    help="How much looser, the house rules say.",
)
CLOTH_KIND = Choice(
    "cloth_kind",
    "Kind of cloth",
    "option",
    "woven",
    (("woven", "woven"), ("stretch", "stretch: knitted, or with elastane")),
    help="A stretch cloth gives part of the ease itself. Try the share in the house rules on a scrap first.",
    unsaid=("woven",),
)
ROOM = Choice(
    "room",
    "Room to grow at waist and hip",
    "length",
    0.0,
    low=10.0,
    high=400.0,
    help="Around the body: for a pregnancy, say, or a child who will grow. Left empty: none.",
)


def room_with(name: str, *values: str) -> Choice:
    """Room to grow only beside other choices: a band or a seam at the waist itself would slip with it."""
    return replace(ROOM, only_with=(name, values))


@dataclass(frozen=True, slots=True)
class Ease:
    """Changes the house's ease for this garment; comes before anything is drawn."""

    choices: tuple[Choice, ...] = (SIT, CLOTH_KIND)
    needs: tuple[str, ...] = ()
    clashes: tuple[Clash, ...] = (
        Clash(
            "sit",
            ("loose",),
            "cloth_kind",
            ("stretch",),
            "A stretch cloth hangs in folds where it is cut loose: choose one or the other.",
        ),
    )

    def make(self, making: Making) -> None:
        """Set the ease at bust, waist, hip and armhole that the parts after this one draw with."""
        house, room = dict(making.house), self._room(making)
        for name in (*FITTED, *LOOSE):
            if making.chosen("sit") == "loose":
                house[name] += house["loose_more"]
            if making.chosen("cloth_kind") == "stretch":
                house[name] *= 1 - house["stretch_share"]
            house[name] += room * (_ROOM_AT_BUST if name.endswith("bust_ease") else 1.0)
        if making.chosen("sleeve", "none") != "none":
            house["armhole_ease"] = _under_a_sleeve(making.body["armscye_depth"], house)
            house["armhole_ease"] += _for_the_arm(making, house)
        making.house = house

    def _room(self, making: Making) -> float:
        """The room to grow that was chosen, mm, where it makes a difference beside the other choices."""
        idle = any(choice.name == "room" and not choice.matters(making.choices) for choice in self.choices)
        return 0.0 if idle else making.length("room", 0.0)


def _for_the_arm(making: Making, house: House) -> float:
    """How much lower still the armhole line lies so that a stout arm goes into a sleeve, mm.

    Raises: CannotDraft (see ``proportions``).
    """
    arm, lower = making.body["upper_arm_girth"], 0.0
    while lower < _LOWERED_MOST:
        p = proportions(making.body, {**house, "armhole_ease": house["armhole_ease"] + lower})
        lacking = sleeve_lacks(arm, armhole_girth(p, house) - _UNSURE, house)
        if lacking == 0:
            break
        lower = min(lower + lowered_by(lacking), _LOWERED_MOST)
    if lower:
        making.note(
            Phase.SLEEVES,
            f"The armhole lies {lower:.0f} mm lower than is usual, so that the upper arm finds room.",
        )
    return lower


def _under_a_sleeve(armhole_measure: float, house: House) -> float:
    """How much lower than measured the armhole line lies, mm, so that the arm finds room in a sleeve.

    Less in proportion for a child, whose armhole measures less than the 7 in of the trade's draft.
    """
    return max(house["armhole_ease"], house["armhole_ease_sleeved"] * min(1.0, armhole_measure / _WHOLE))
