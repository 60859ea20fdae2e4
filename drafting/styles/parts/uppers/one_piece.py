"""Uppers in one piece from the shoulder to the hem: shift, sheath, A-line, tunic or blouse."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

from drafting.blocks.bodice import Proportions, proportions, waist_shaping
from drafting.blocks.inner_darts import NO_SHAPING
from drafting.blocks.one_piece import draft_one_piece
from drafting.blocks.rules import House, proportion
from drafting.blocks.widths import fitted_widths, flared_widths, loose_widths, semi_fitted_widths
from drafting.errors import BadChoice
from drafting.making import Making
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.closures import FRONT_BUTTONS, NONE
from drafting.styles.parts.uppers.hanging import hang
from drafting.styles.parts.uppers.shell import BODICE_NEEDS
from drafting.styles.parts.uppers.vents import BACK_VENT, WALKING, vent_of

NEEDS = (*BODICE_NEEDS, "hip_girth", "waist_to_hip", "waist_to_knee", "waist_height")
STRAIGHT, FLARED, DARTS = "straight", "flared", "darts"
_OFF_THE_FLOOR = 20.0  # mm
_ANKLE = 0.08  # of the waist's height: the ankle's (common practice, no source)
_SHORTEST_TOP = 0.4  # of the way from waist to hip
_BELOW_HIP = 40.0  # mm that a blouse reaches below the hip; a child's in proportion (common practice)

FLARE = Choice(
    "flare",
    "Below the hip",
    "option",
    STRAIGHT,
    ((STRAIGHT, "straight"), (FLARED, "slightly flared")),
)
FIT = Choice(
    "fit",
    "Waist",
    "option",
    STRAIGHT,
    ((STRAIGHT, "straight, shaped at the side only"), (DARTS, "taken in with darts")),
)


def _length(ends: str) -> Choice:
    return Choice(
        "length",
        "Length at the back, from the nape",
        "length",
        0.0,
        low=200.0,
        high=1900.0,
        help=f"Left empty, or 0, it ends {ends}.",
    )


@dataclass(frozen=True, slots=True)
class Shift:
    """Hangs from the shoulders, a little shaped at the side; a bust dart where the bust asks for one."""

    choices: tuple[Choice, ...] = (_length("at the knee"), FLARE)
    needs: tuple[str, ...] = NEEDS
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Draw front and back and join them. Raises: CannotDraft, BadChoice."""
        body, house = making.body, making.house
        p = proportions(body, house)
        flare = house["shift_flare_deg"] if making.chosen("flare", STRAIGHT) == FLARED else 0.0
        length = _dress_length(making, p)
        widths = loose_widths(p, body, house, flare_deg=flare)
        hang(making, draft_one_piece(p, house, widths, hip_level=body["waist_to_hip"], length=length))


@dataclass(frozen=True, slots=True)
class ALine:
    """Flared from the underarm in one line, from babies up; a bust dart where the bust asks for one.

    ``to_ankle``: it ends at the ankle where no length is chosen, instead of at the knee.
    """

    to_ankle: bool = False
    needs: tuple[str, ...] = NEEDS
    clashes: tuple[Clash, ...] = ()

    @property
    def choices(self) -> tuple[Choice, ...]:
        return (_length("at the ankle" if self.to_ankle else "at the knee"),)

    def make(self, making: Making) -> None:
        """Draw front and back and join them. Raises: CannotDraft, BadChoice."""
        body, house = making.body, making.house
        p = proportions(body, house)
        length = _dress_length(making, p, ankle=self.to_ankle)
        widths = flared_widths(p, body, house)
        hang(making, draft_one_piece(p, house, widths, hip_level=body["waist_to_hip"], length=length))


@dataclass(frozen=True, slots=True)
class Sheath:
    """Fitted at bust, waist and hip; the waist darts are pointed at both ends. Straight from the hip down."""

    choices: tuple[Choice, ...] = (_length("at the knee"), WALKING)
    needs: tuple[str, ...] = NEEDS
    clashes: tuple[Clash, ...] = (
        Clash(
            "walking",
            (BACK_VENT,),
            "closure",
            (FRONT_BUTTONS, NONE),
            "A vent ends the centre back seam, and a back without a zip has none: choose slits.",
        ),
    )

    def make(self, making: Making) -> None:
        """Draw front and back and join them. Raises: CannotDraft, BadChoice."""
        body, house, hip_level = making.body, making.house, making.body["waist_to_hip"]
        p = proportions(body, house)
        length, shaping = _dress_length(making, p), waist_shaping(p, house)
        widths = fitted_widths(p, body, house, shaping)
        block = draft_one_piece(p, house, widths, hip_level=hip_level, length=length, shaping=shaping)
        hang(making, block, waist_fitted=True, vent=vent_of(making, length))


@dataclass(frozen=True, slots=True)
class Tunic:
    """A blouse or tunic: loose, to the hip or longer; its waist straight or taken in with darts."""

    choices: tuple[Choice, ...] = (_length("a little below the hip"), FIT)
    needs: tuple[str, ...] = NEEDS
    clashes: tuple[Clash, ...] = (
        Clash(
            "fit",
            (DARTS,),
            "closure",
            (NONE,),
            "Taken in at the waist it cannot be pulled over the shoulders: choose a zip or buttons.",
        ),
    )

    def make(self, making: Making) -> None:
        """Draw front and back and join them. Raises: CannotDraft, BadChoice."""
        body, house, hip_level = making.body, making.house, making.body["waist_to_hip"]
        fitted = making.chosen("fit", STRAIGHT) == DARTS
        if fitted:
            house = _as_loose(house)
        p = proportions(body, house)
        shaping = waist_shaping(p, house) if fitted else NO_SHAPING
        widths = semi_fitted_widths(p, body, house, shaping) if fitted else loose_widths(p, body, house)
        length = _top_length(making, p)
        block = draft_one_piece(p, house, widths, hip_level=hip_level, length=length, shaping=shaping)
        hang(making, block, hem=house["top_hem"], waist_fitted=fitted)


def _as_loose(house: House) -> House:
    """The house rules with a loose garment's ease in the place of a fitted one's."""
    return {**house, "bust_ease": house["loose_bust_ease"], "waist_ease": house["loose_waist_ease"]}


def _dress_length(making: Making, p: Proportions, *, ankle: bool = False) -> float:
    """Length below the waist at the centre, mm; to the knee, or the ankle, where nothing is said."""
    body = making.body
    least = body["waist_to_hip"] + making.house["skirt_shortest"]
    usual = (1 - _ANKLE) * body["waist_height"] if ankle else body["waist_to_knee"]
    return _length_within(making, p, max(usual, least), least)


def _top_length(making: Making, p: Proportions) -> float:
    hip = making.body["waist_to_hip"]
    return _length_within(making, p, hip + _BELOW_HIP * proportion(p.neck_width), _SHORTEST_TOP * hip)


def _length_within(making: Making, p: Proportions, usual: float, least: float) -> float:
    """Raises: BadChoice, field "length", where a length chosen ends too high or on the floor."""
    below = making.length("length", p.nape + usual) - p.nape
    most = max(making.body["waist_height"] - _OFF_THE_FLOOR, usual)
    if not least - 1e-6 <= below <= most + 1e-6:
        raise BadChoice(
            f"a length of {p.nape + below:.0f} mm at the back does not do: for this wearer it must lie "
            f"between {ceil(p.nape + least):d} and {floor(p.nape + most):d} mm",
            field="length",
        )
    return below
