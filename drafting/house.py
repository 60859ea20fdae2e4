"""The house rules: what a workshop always does the same way, changed once by its owner.

Lengths are millimetres, written here in inches where the trade thinks in them. "Common practice" is said
where a value stands in no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import isfinite
from types import MappingProxyType
from typing import Final

from drafting.errors import BadChoice

INCH: Final = 25.4
_TRADE: Final = "common practice, no source"
_ROBINSON: Final = "Robinson, Ease in Clothing (ch. 16)"


class RuleKind(StrEnum):
    """What a rule's value counts."""

    LENGTH = "length"
    COUNT = "count"
    RATIO = "ratio"
    DEGREES = "degrees"


@dataclass(frozen=True, slots=True)
class HouseRule:
    """A named default with its limits. ``default``, ``low`` and ``high`` are mm of lengths."""

    name: str
    title: str
    default: float
    low: float
    high: float
    kind: RuleKind
    help: str
    source: str

    def accept(self, value: object) -> float:
        """Return the value. Raises: BadChoice where it is no number, or outside the limits."""
        if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
            raise BadChoice(f"{self.title}: give a number.", field=self.name)
        if not self.low - 1e-9 <= value <= self.high + 1e-9:
            raise BadChoice(
                f"{self.title}: {self._shown(value)} is not between {self._shown(self.low)} and "
                f"{self._shown(self.high)}.",
                field=self.name,
            )
        if self.kind is RuleKind.COUNT and value != int(value):
            raise BadChoice(f"{self.title}: give a whole number.", field=self.name)
        return float(value)

    def _shown(self, value: float) -> str:
        if self.kind is RuleKind.LENGTH:
            return f"{value:.4g} mm ({value / INCH:.3g} in)"
        return f"{value:g}{' degrees' if self.kind is RuleKind.DEGREES else ''}"


def _inches(
    name: str, title: str, inches: tuple[float, float, float], help_: str, source: str = _TRADE
) -> HouseRule:
    default, low, high = (inch * INCH for inch in inches)
    return HouseRule(name, title, default, low, high, RuleKind.LENGTH, help_, source)


_EASE: Final = (
    _inches("bust_ease", "Ease at the bust", (2, 0.5, 6), "Added to the bust girth all round.", _ROBINSON),
    _inches(
        "waist_ease", "Ease at the waist", (1, 0.25, 5), "Added to the waist girth all round.", _ROBINSON
    ),
    _inches("hip_ease", "Ease at the hip", (2.5, 1, 8), "Added to the hip girth all round.", _ROBINSON),
    _inches(
        "loose_bust_ease",
        "Ease at the bust of loose garments",
        (3, 1.5, 10),
        "Shifts, blouses and flared dresses, all round.",
        "3 in at most at the chest of a plain shirt: Robinson, Ease in Clothing (ch. 16)",
    ),
    _inches(
        "loose_waist_ease",
        "Least ease at the waist of loose garments",
        (3, 1, 12),
        "A loose garment is nowhere closer to the waist than this; mostly it is looser.",
    ),
    _inches(
        "loose_hip_ease",
        "Ease at the hip of loose garments",
        (4, 2, 12),
        "All round, where the garment does not hang wider from the bust or the waist.",
    ),
    _inches(
        "loose_more",
        "A looser garment, more at bust, waist and hip",
        (2, 0.5, 8),
        "Added to each ease where a garment is ordered looser.",
    ),
    HouseRule(
        "stretch_share",
        "Ease that a stretch cloth gives",
        0.75,
        0.0,
        1.0,
        RuleKind.RATIO,
        "Share of the ease at bust, waist and hip that is left out in stretch cloth.",
        _TRADE,
    ),
    _inches(
        "shoulder_ease", "Ease of the half shoulder", (0.25, 0, 1), "Half a shoulder of 7 is drawn 7 1/4."
    ),
    _inches(
        "armhole_ease",
        "Ease of the armhole line",
        (0.5, 0, 2),
        "The armhole line is drawn this much lower than measured: 7 becomes 7 1/2.",
    ),
    _inches(
        "armhole_ease_sleeved",
        "Ease of the armhole line under a sleeve",
        (1, 0, 2.5),
        "With a sleeve the armhole line is at least this much lower than measured; a child's in proportion.",
    ),
    _inches("across_ease", "Ease across the back", (0.25, 0, 1), "Added to each half of the back width."),
)

_NECK_AND_SHOULDER: Final = (
    _inches(
        "collar_neck_less",
        "Neck width, less with a collar",
        (1, 0, 2),
        "The neck of a collared bodice is half the armhole measure less this wide; without collar nothing is "
        "taken off. It is kept to what the wearer's own neck asks for.",
    ),
    _inches(
        "back_neck_depth", "Back neck depth", (0.25, 0.125, 1), "How far the nape lies below the neck point."
    ),
    _inches(
        "back_shoulder_ease",
        "Back shoulder eased on to the front",
        (0.1875, 0, 0.5),
        "The back shoulder is drawn this much longer, and eased, for the roundness over the shoulder blade.",
    ),
    HouseRule(
        "shoulder_slope_deg",
        "Slope of the shoulder",
        20.0,
        8.0,
        30.0,
        RuleKind.DEGREES,
        "Below the level, front and back alike. Square shoulders less, sloping ones more.",
        _TRADE,
    ),
    _inches(
        "front_armhole_hollow",
        "Front armhole hollow",
        (0.5, 0.25, 1),
        "The front armhole is hollowed this much more than the back.",
    ),
)

_DARTS: Final = (
    _inches("dart_greatest", "Widest single waist dart", (1.5, 0.75, 2.5), "More than this makes two darts."),
    _inches("dart_least", "Narrowest dart", (0.25, 0.125, 0.75), "Less than this goes into the side seam."),
    _inches(
        "bust_dart_short",
        "Bust dart ends short of the bust point",
        (1, 0.5, 2),
        "Ends of darts stay this far from the bust point.",
    ),
    _inches(
        "bust_dart_single",
        "Widest single bust dart",
        (1.75, 0.75, 3),
        "At the side seam. More is shared by two darts, one below the other.",
    ),
    _inches(
        "bust_dart_greatest",
        "Widest bust dart",
        (3.25, 1, 5),
        "At the side seam, both together where there are two. More is refused.",
    ),
    _inches(
        "princess_ease",
        "Most ease of a princess seam over the bust",
        (0.375, 0, 0.75),
        "The side panel is eased on to the centre panel over the bust. Less brings the line closer to the "
        "dart's point, beside the bust point.",
    ),
    HouseRule(
        "side_share",
        "Waist shaping at the side seam",
        0.3,
        0.0,
        0.6,
        RuleKind.RATIO,
        "Share of what the waist is narrower than the bust that the side seam takes; darts take the rest.",
        _TRADE,
    ),
    _inches(
        "side_greatest", "Most shaping at a side seam", (1, 0.5, 2), "Of each quarter; darts take the rest."
    ),
)

_LAPEL_AND_COLLAR: Final = (
    _inches(
        "button_extension", "Button extension", (1, 0.5, 2), "Beyond the centre front; 3/4 in is also used."
    ),
    _inches(
        "stand",
        "Lapel beyond the neck point",
        (0.75, 0.25, 1.25),
        "Where the roll line passes the neck point.",
    ),
    _inches("stand_child", "Lapel beyond the neck point, small child", (0.5, 0.25, 1), "Up to seven years."),
    _inches("collar_width", "Collar width at the centre back", (2.75, 2, 4), "From neck seam to outer edge."),
    _inches(
        "collar_slant", "Slant of the collar", (0.5, 0, 1.5), "The centre back's outer end is raised by this."
    ),
    _inches(
        "notch_width", "Notch", (1.25, 0.5, 2), "Length of the collar's front edge; 1 to 1 1/2 is usual."
    ),
    _inches(
        "lapel_width", "Lapel width", (3, 1.5, 5), "From the roll line to the point, square to the roll line."
    ),
    _inches(
        "waist_break_rise",
        "Break above the waist seam",
        (0.75, 0.5, 3),
        "Where the lapel breaks at the waist, the edge below the break is this long.",
    ),
    _inches("flat_collar_width", "Width of a flat collar", (2.5, 0.75, 5), "Even all round."),
    _inches(
        "collar_overlap",
        "Flat collar: shoulders overlap by",
        (0.75, 0, 2),
        "At the shoulder's outer end, front laid on back; the more, the more the collar rolls.",
    ),
    _inches(
        "collar_stand",
        "Height of a collar stand",
        (1, 0.5, 2),
        "Of standing collars and of what a turned-over collar stands up by.",
        "Rosenfeld, The Practical Designer (1918): stand 1 in",
    ),
    _inches(
        "turnover_width",
        "Width of a turned-over collar",
        (3, 1.5, 5),
        "Stand and fall together, at the centre back.",
        "Rosenfeld, The Practical Designer (1918): stand 1 in, width 3 in",
    ),
    _inches(
        "under_collar_less",
        "Under-collar smaller by",
        (0.125, 0, 0.375),
        "Round its outer edge, by the turn of the cloth: more for thick cloth. The collar is eased on to it.",
    ),
    _inches("collar_fall", "Fall of a shirt collar", (1.75, 1, 4), "At the centre back, below its stand."),
    _inches("tie_width", "Width of a tie collar", (1.75, 0.5, 3.5), "Finished; it is cut twice as wide."),
    _inches("tie_length", "Ties of a tie collar", (22, 8, 40), "From the centre front."),
)

_ARMHOLES_AND_SLEEVES: Final = (
    _inches(
        "cap_ease",
        "Ease of the sleeve cap",
        (1.25, 0, 2),
        "A set-in sleeve's cap is this much longer than its armhole, and eased; less in proportion where the "
        "armhole is smaller than 16 1/2. 2 to 4 cm is usual.",
        "1 to 1 1/2 in: Robinson, Ease in Clothing (ch. 16)",
    ),
    _inches(
        "sleeve_ease",
        "Ease of the sleeve at the upper arm",
        (2, 0.75, 6),
        "Added to the upper arm girth; less in proportion for an arm thinner than 11.",
        "2 in: Armstrong, as cited by a pattern maker",
    ),
    _inches("sleeve_hem", "Depth of sleeve hems", (1, 0.25, 3), "Turned up at a sleeve without a cuff."),
    _inches("cuff_depth", "Depth of cuffs", (2, 0.75, 5), "A child's in proportion."),
    _inches(
        "bias_longest",
        "Longest bias strip cut in one",
        (30, 10, 60),
        "Of a neckline or an armhole; a longer one is cut in equal parts, which are joined.",
    ),
    _inches("binding_width", "Width of bindings", (0.375, 0.25, 1), "As it shows; the strip is four times."),
)

_IN_ONE_PIECE: Final = (
    _inches(
        "loose_shaping",
        "Shaping at the side of loose garments",
        (0.5, 0, 1.5),
        "The side seam is taken in this much at the waist; by less where the waist is hardly narrower.",
    ),
    HouseRule(
        "shift_flare_deg",
        "Flare of a slightly flared shift",
        4.0,
        1.0,
        12.0,
        RuleKind.DEGREES,
        "The side seam leans outward by this below the hip.",
        _TRADE,
    ),
    HouseRule(
        "a_line_flare_deg",
        "Flare of an A-line",
        9.0,
        3.0,
        20.0,
        RuleKind.DEGREES,
        "The side seam leans outward by this from the underarm; more where waist or hip ask for it.",
        _TRADE,
    ),
    _inches(
        "raised_below_bust",
        "Raised waist seam below the bust line",
        (2.75, 1.5, 5),
        "A child's in proportion.",
    ),
    _inches("waist_drop", "Dropped waist seam below the waist", (4, 1.5, 9), "A child's in proportion."),
    _inches(
        "vent_height",
        "Height of a vent or a slit",
        (8, 3, 20),
        "From the hem up; it always ends well below the hip.",
    ),
    _inches(
        "top_hem",
        "Depth of the hem of blouses and tunics",
        (0.75, 0.25, 2),
        "Worn over a skirt or trousers.",
        "3/8 to 3/4 in out, top 3/4 to 1 1/4 in: hem table of a sewing guild",
    ),
)

_BELTS: Final = (
    _inches("belt_width", "Width of a belt", (1.5, 0.5, 5), "A child's in proportion."),
    _inches(
        "belt_overlap",
        "Overlap of a straight belt",
        (5, 2, 10),
        "What laps over, with its hooks.",
    ),
    _inches("belt_loop_width", "Width of belt loops", (0.375, 0.25, 1), "Finished."),
    _inches("tape_loop", "Loops to hang a garment by", (3, 1.5, 6), "As they hang, of tape folded double."),
)

_FACINGS: Final = (
    _inches("facing_width", "Width of facings", (2, 1, 4), "At neck, shoulder and armhole."),
    _inches(
        "front_facing_width",
        "Width of the front facing",
        (2.5, 1.5, 5),
        "From the centre front at the waist.",
    ),
)

_SKIRT: Final = (
    _inches(
        "pleat_depth",
        "Depth of a pleat",
        (1.5, 0.375, 4),
        "At the hip, where the cloth and the spacing allow it.",
    ),
    _inches(
        "pleat_least", "Shallowest pleat", (0.3, 0.125, 1), "A shallower pleat would not stay in the cloth."
    ),
    HouseRule(
        "pleated_share",
        "Pleated part of a skirt with plain sides",
        0.6,
        0.3,
        0.85,
        RuleKind.RATIO,
        "Share of each quarter, from the centre outward, that is pleated; the rest is plain.",
        _TRADE,
    ),
    _inches(
        "pleat_overlap",
        "Pleats may overlap by",
        (0.75, 0, 2),
        "Of neighbouring underlays, at the waist seam.",
    ),
    _inches(
        "skirt_shortest", "Shortest skirt below the hip", (2, 1, 8), "A skirt shorter than this is refused."
    ),
    _inches(
        "skirt_waist_ease",
        "Ease at a waistband",
        (0.75, 0.25, 3),
        "Added to the waist girth all round, where a skirt or trousers hang from a band.",
        "1/2 to 3/4 in: Robinson, Ease in Clothing (ch. 16)",
    ),
    _inches(
        "waistband_width", "Width of waistbands", (1.25, 0.625, 3), "As it shows; a child's in proportion."
    ),
    _inches(
        "waistband_lap", "Underlap of waistbands", (1.25, 0.5, 3), "Beyond the opening, for hook or button."
    ),
    _inches(
        "vent_width",
        "Width of a back vent",
        (1.75, 1, 4),
        "Beyond the centre back, where one back lies under the other.",
    ),
    _inches(
        "panel_widest",
        "Widest panel in one piece",
        (54, 30, 118),
        "The cloth that panels are planned for: a wider front or back gets a seam at its centre.",
    ),
)

_POCKETS: Final = (
    _inches("pocket_opening", "Opening of a side-seam pocket", (6, 3, 9), "A child's in proportion."),
    _inches("pocket_below_waist", "Pocket below the waist", (2.5, 1, 6), "To the top of its opening."),
    _inches("patch_pocket_width", "Width of patch pockets", (5.5, 2.5, 9), "A child's in proportion."),
)

_ALLOWANCES: Final = (
    _inches(
        "seam_allowance",
        "Seam allowance",
        (0.625, 0.25, 1.5),
        "Plain seams.",
        "5/8 in or 1.5 cm: sewing textbooks",
    ),
    _inches(
        "side_allowance",
        "Allowance at side seams",
        (1, 0.375, 2),
        "A seam that may be let out.",
        "fitting seams >= 1 in: sewing textbooks",
    ),
    _inches(
        "enclosed_allowance",
        "Allowance of enclosed and curved edges",
        (0.25, 0.125, 0.625),
        "Collar, lapel, armhole and neck.",
        "1/4 in: sewing textbooks",
    ),
    _inches(
        "zip_allowance",
        "Allowance at a zip",
        (0.75, 0.5, 1.5),
        "Extra at the centre back for a zip.",
        "3/4 in: sewing textbooks",
    ),
    _inches(
        "hem_depth",
        "Depth of the hem",
        (2, 0.5, 5),
        "Of the skirt.",
        "dress 1 1/2 to 2, straight skirt 2 to 3 in: hem table of a sewing guild",
    ),
    _inches(
        "straight_hem_depth",
        "Depth of the hem of a straight skirt",
        (2.5, 0.5, 4),
        "Of straight and A-line skirts on a waistband.",
        "2 to 3 in: hem table of a sewing guild",
    ),
    _inches(
        "flared_hem_depth",
        "Depth of the hem of a flared skirt",
        (0.375, 0.25, 1.5),
        "Of circle skirts: a deeper one would not lie flat.",
        "1/4 to 3/8 in: hem table of a sewing guild",
    ),
    _inches(
        "trouser_hem_depth",
        "Depth of trouser hems",
        (2, 0.5, 4),
        "Turned up at the leg.",
        "2 in: hem table of a sewing guild",
    ),
    _inches("crotch_ease", "Ease of the crotch depth", (0.75, 0.25, 2), "Added to the body rise."),
    _inches("lining_hem", "Lining shorter than the skirt", (0.75, 0.25, 3), "So that it never shows."),
)

_FASTENINGS: Final = (
    _inches(
        "button_thickness",
        "Button thickness",
        (0.125, 0.04, 0.5),
        "A buttonhole is as long as its button is wide and thick.",
        "hole = diameter + thickness: buttonhole standards of sewing textbooks",
    ),
    _inches("button_diameter", "Button diameter", (0.625, 0.25, 1.5), "Of the front buttons."),
    _inches(
        "button_spacing",
        "Button spacing, at most",
        (3.5, 1, 5),
        "From centre to centre.",
        "3 to 3 1/2 in: shirt-making text",
    ),
    _inches(
        "side_zip_above_waist",
        "Zip at the side above the waist",
        (4.5, 2, 8),
        "Of a dress; lower where a bust dart or the armhole is in its way.",
    ),
    _inches(
        "back_slit",
        "Slit at the back of the neck",
        (4.5, 2, 9),
        "Closed with a hook at its top; a child's in proportion.",
    ),
    _inches("fly_width", "Width of a fly", (1.5, 1, 2.5), "From the centre front to its stitching."),
    _inches(
        "placket_width",
        "Width of a placket",
        (1.25, 0.75, 2.5),
        "Finished, with its buttons along its middle; a child's in proportion. 1 to 1 1/2 is usual.",
    ),
    _inches(
        "half_placket_depth",
        "Depth of a half placket",
        (10, 3, 20),
        "From the neckline down to where it is stitched; a child's in proportion.",
    ),
    _inches(
        "button_above_hem", "Last button above the hem", (4, 1, 12), "At least.", "4 in: sewing textbooks"
    ),
    _inches(
        "zip_below_waist",
        "Zip below the waist",
        (7.5, 3, 12),
        "Or to the hip level, whichever is less far.",
        _TRADE,
    ),
)

HOUSE_GROUPS: Final[Mapping[str, tuple[HouseRule, ...]]] = MappingProxyType(
    {
        "Ease": _EASE,
        "Neck and shoulder": _NECK_AND_SHOULDER,
        "Darts": _DARTS,
        "Lapel and collar": _LAPEL_AND_COLLAR,
        "Armholes and sleeves": _ARMHOLES_AND_SLEEVES,
        "Garments in one piece, and seams away from the waist": _IN_ONE_PIECE,
        "Belts": _BELTS,
        "Facings": _FACINGS,
        "Skirt": _SKIRT,
        "Pockets": _POCKETS,
        "Allowances": _ALLOWANCES,
        "Fastenings": _FASTENINGS,
    }
)
"""The rules under the headings of the page on which they are changed."""

HOUSE_RULES: Final[Mapping[str, HouseRule]] = MappingProxyType(
    {rule.name: rule for rules in HOUSE_GROUPS.values() for rule in rules}
)


def least_extension(diameter: float) -> float:
    """How far a button stand must reach beyond the centre for a button so wide, mm.

    Source: half the diameter + 1/4 in, or 3/4 of the diameter, whichever is less: buttonhole standards of
    sewing textbooks.
    """
    return min(diameter / 2 + INCH / 4, 0.75 * diameter)


def house_rules(overrides: Mapping[str, float] = MappingProxyType({})) -> Mapping[str, float]:
    """Return every rule's value, the workshop's own where it set one.

    Raises: BadChoice, with the rule's name as its field: no such rule, not a number, outside its limits.
    """
    values = {name: rule.default for name, rule in HOUSE_RULES.items()}
    for name, value in overrides.items():
        if name not in HOUSE_RULES:
            raise BadChoice(f"There is no house rule {name!r}.", field=name)
        values[name] = HOUSE_RULES[name].accept(value)
    need = least_extension(values["button_diameter"])
    if values["button_extension"] < need - 1e-9:
        raise BadChoice(
            f"A button of {values['button_diameter']:.4g} mm needs an extension of {need:.4g} mm: "
            "widen the button extension or choose a smaller button.",
            field="button_extension",
        )
    return MappingProxyType(values)
