"""Collars that are set on to a neckline: which a style offers, how wide, and what does not go with them."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.cautions import is_young
from drafting.errors import BadChoice
from drafting.making import Making
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.closures import BACK_ZIP, NONE
from drafting.styles.parts.collar_kinds import FLAT, MAKERS, NO_COLLAR, SHIRT, STAND, TIE, TURNOVER

__all__ = ["FLAT", "LABELS", "NO_COLLAR", "SHIRT", "STAND", "TIE", "TURNOVER", "Collar"]

LABELS = {
    NO_COLLAR: "none",
    FLAT: "flat collar",
    STAND: "standing collar",
    TURNOVER: "turned-over collar",
    SHIRT: "shirt collar on a stand",
    TIE: "tie collar",
}
_AT_THE_BASE = (STAND, TURNOVER, SHIRT, TIE)
_FAR = 25.0  # mm below or beside the neck's base: a standing collar would stand off the neck there
_CLASHES = (
    Clash(
        "collar",
        (FLAT, *_AT_THE_BASE),
        "neckline",
        ("square", "boat", "keyhole"),
        "A collar is set on a round, scooped or V neckline, not round a corner, a boat neck or a keyhole.",
    ),
    Clash(
        "collar",
        _AT_THE_BASE,
        "neckline",
        ("scoop", "v"),
        "This collar stands at the neck's base: choose the round neckline, or a flat collar.",
    ),
    Clash(
        "collar",
        (SHIRT, TIE),
        "closure",
        (BACK_ZIP, NONE),
        "This collar opens in front: choose buttons down the front.",
    ),
    Clash(
        "collar",
        (STAND, TURNOVER),
        "closure",
        (NONE,),
        "A collar at the neck's base does not pass over the head: choose a zip or buttons.",
    ),
)


@dataclass(frozen=True, slots=True)
class Collar:
    """The collars that a style offers, the first its default; comes after the neckline."""

    offered: tuple[str, ...] = (NO_COLLAR, FLAT, STAND, TURNOVER, SHIRT, TIE)
    needs: tuple[str, ...] = ("stature",)
    clashes: tuple[Clash, ...] = _CLASHES

    @property
    def choices(self) -> tuple[Choice, ...]:
        options = tuple((name, LABELS[name]) for name in self.offered)
        by_house = "Left empty, or 0, it follows the house rule, in proportion to the wearer."
        collars = tuple(kind for kind in self.offered if kind != NO_COLLAR)
        return (
            Choice("collar", "Collar", "option", self.offered[0], options),
            Choice(
                "collar_width",
                "Width of the collar",
                "length",
                0.0,
                low=12.0,
                high=200.0,
                help=by_house,
                only_with=("collar", collars),
            ),
            Choice(
                "collar_shape",
                "Front of a flat collar",
                "option",
                "rounded",
                (("rounded", "rounded"), ("pointed", "pointed")),
                only_with=("collar", (FLAT,)),
            ),
        )

    def make(self, making: Making) -> None:
        """Draw the collar and set it on. Raises: BadChoice."""
        kind = making.chosen("collar", self.offered[0])
        if kind == NO_COLLAR:
            return
        _refuse(making, kind)
        MAKERS[kind](making)


def _refuse(making: Making, kind: str) -> None:
    if kind in {SHIRT, TIE} and not making.centre("front").buttoned:
        raise BadChoice("This collar opens in front: choose buttons down the front.", field="collar")
    if kind == TIE:
        _refuse_ties(making)
    if kind in _AT_THE_BASE:
        for name in ("neck_width", "neck_depth", "neck_depth_back"):
            if making.length(name, 0.0) > _FAR:
                raise BadChoice(
                    f"This collar stands at the neck's base: a neckline more than {_FAR:.0f} mm away from it "
                    "goes with a flat collar.",
                    field=name,
                )


def _refuse_ties(making: Making) -> None:
    """Raises: BadChoice for children. Source: EN 14682 (summaries)."""
    if is_young(making.body):
        raise BadChoice(
            "No ties at the neck for children up to 7 years or 134 cm (EN 14682): choose another collar.",
            field="collar",
        )
    if making.body.is_child:
        raise BadChoice(
            "No free ends at the neck for children under 14 years (EN 14682): choose another collar.",
            field="collar",
        )
