"""What a sleeve measures: decided from the armhole, the arm, the choices and the house, before it is drawn.

Shares of the arm and fullnesses are common practice, no source, where nothing else is said.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import tan

from drafting.blocks.rules import House
from drafting.blocks.sleeve import Sleeve, draft_cap_sleeve, draft_sleeve
from drafting.blocks.sleeve_cap import ArmholeSize, CapRule, cap_ease, narrowness, upper_width
from drafting.blocks.sleeve_changes import bent, spread
from drafting.details.sleeves import CuffSize
from drafting.errors import BadChoice
from drafting.making import Making
from drafting.styles.parts.armholes import armhole_notches, child_share

NO_SLEEVE, CAP, SHORT, ELBOW = "none", "cap", "short", "elbow"
THREE_QUARTER, LONG = "three-quarter", "long"
FITTED, PUFF, BELL, BISHOP = "fitted", "puff", "bell", "bishop"
HEM, CUFF, ELASTIC = "hem", "cuff", "elastic"

_WHOLE_ARM = 11 * 25.4  # mm; a thinner arm has less ease in proportion
_SET_IN = (0.22, 0.38)  # lowest and highest cap, as shares of the armhole
_FLAT = (0.15, 0.25)
_LOOSE = 2.0  # times the ease at the upper arm of a set-in sleeve
_LEAST = 0.5  # of that ease
_HAND = 1.2  # hand girth over wrist girth, from memory of an anthropometric survey of women
_OPEN_WRIST = 1.35  # a wrist without opening, over wrist girth: the hand passes
_THICKEST = 0.3  # of the arm's length, from the shoulder: below it the arm thins
_FOREARM = 1.3  # how an arm thins towards the wrist: more the nearer
_CLOSE_WRIST = 1.25  # the same of a fitted sleeve
_ELBOW = 0.56  # of the arm's length, from the shoulder
_ELBOW_INTAKE = 0.07  # of the width at the elbow: what its dart takes up
_PUFF_FULLNESS = 1.5  # gathers 1.5 to 3 times: Butterick, The New Dressmaker (1921)
_CAP_SEAM = 22.0  # mm: the underarm seam of a cap sleeve
_ELASTIC_FULLNESS = 1.4  # of the arm
_GATHERED_LEAN = 0.25  # radians that a gathered sleeve's seams lean outward at most
_BELL_FULLNESS = 1.5  # of the width under the arm


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of sleeve: how far down the arm it reaches, what usually ends it, how full its end is."""

    label: str
    reach: float  # share of the arm length
    end: str = HEM
    fullness: float = 1.25  # of what it is gathered into


KINDS = {
    CAP: Kind("cap: over the shoulder only", 0.16),
    SHORT: Kind("short", 0.38),
    ELBOW: Kind("to the elbow", _ELBOW),
    THREE_QUARTER: Kind("three-quarter", 0.78),
    LONG: Kind("long", 1.0),
    FITTED: Kind("long and close, with an elbow dart", 1.0),
    PUFF: Kind("puff: gathered at cap and edge", 0.34, CUFF),
    BELL: Kind("bell: wide at the hem", 1.0),
    BISHOP: Kind("bishop: full, gathered into a cuff", 1.0, CUFF, 1.8),
}


@dataclass(frozen=True, slots=True)
class SleevePlan:
    """A sleeve as drawn, and what ends it."""

    sleeve: Sleeve
    armhole: ArmholeSize
    kind: str
    end: str
    length: float  # with its cuff or band
    hem_depth: float
    girth: float  # of the arm where the sleeve ends
    cuff: CuffSize | None = None
    slit: float = 0.0  # 0 where the end is closed

    @property
    def ease(self) -> float:
        """Cap less armhole."""
        return self.sleeve.cap.length - self.armhole.girth


def armhole_size(making: Making) -> ArmholeSize:
    """The armhole as it was drawn; whoever drew it notched it."""
    front, back = (making.run_length(making.lines[f"{side} armhole"]) for side in ("front", "back"))
    in_front, behind = (armhole_notches(making, side)[-1][0] for side in ("front", "back"))
    return ArmholeSize(front, back, in_front, behind)


def sleeve_lacks(arm: float, armhole: float, house: House) -> float:
    """How much too narrow for an arm with the least ease a set-in sleeve of this armhole is, mm; 0 if not."""
    least = _LEAST * _normal_ease(arm, house)
    return narrowness(arm + least, armhole, CapRule(cap_ease(house["cap_ease"], armhole), *_SET_IN))


def _normal_ease(arm: float, house: House) -> float:
    return house["sleeve_ease"] * min(1.0, arm / _WHOLE_ARM)


def plan_sleeve(making: Making, kind: str, *, flat: bool) -> SleevePlan:
    """Decide a sleeve's sizes and draw its outline. Raises: CannotDraft, BadChoice."""
    armhole = armhole_size(making)
    arm = making.body["upper_arm_girth"]
    normal = _normal_ease(arm, making.house)
    eased = 0.0 if flat else cap_ease(making.house["cap_ease"], armhole.girth)
    cap = CapRule(eased, *(_FLAT if flat else _SET_IN))
    ease = normal * (_LOOSE if flat else 1.0)
    width = upper_width(arm, ease, _LEAST * normal, armhole.girth, cap)
    end = making.chosen("sleeve_end", "usual")
    end = KINDS[kind].end if end == "usual" else end
    return _Sizes(making, kind, end, armhole, cap, width).plan()


@dataclass(frozen=True, slots=True)
class _Sizes:
    making: Making
    kind: str
    end: str
    armhole: ArmholeSize
    cap: CapRule
    width: float

    def plan(self) -> SleevePlan:
        if self.kind == CAP:
            return self._cap_plan()
        length = self._length()
        girth = self._arm_at(length)
        cuff = self._cuff(length, girth) if self.end == CUFF else None
        drop = cuff.depth if cuff else 0.0
        hem = self._hem(length, girth, cuff)
        sleeve = draft_sleeve(self.armhole, self.cap, self.width, length - drop, hem)
        if self.kind == PUFF:
            sleeve = spread(sleeve, self.armhole, _PUFF_FULLNESS)
        if cuff and cuff.girth > sleeve.hem.length:
            raise BadChoice(
                f"a band {cuff.girth:.0f} mm round is wider than the sleeve; make it at most "
                f"{sleeve.hem.length - 0.5:.0f} mm",
                field="sleeve_width",
            )
        if self.kind == FITTED:
            sleeve = self._bent(sleeve)
        slit = self._slit(sleeve) if cuff and cuff.lap else 0.0
        return SleevePlan(
            sleeve, self.armhole, self.kind, self.end, length, self._hem_depth, girth, cuff, slit
        )

    def _cap_plan(self) -> SleevePlan:
        for name in ("sleeve_length", "sleeve_width"):
            if self.making.length(name, 0.0):
                raise BadChoice(
                    "a cap sleeve follows from its armhole: leave length and width empty, or choose a short "
                    "sleeve",
                    field=name,
                )
        seam = _CAP_SEAM * self._share
        sleeve = draft_cap_sleeve(self.armhole, self.cap, self.width, seam)
        over_shoulder = sleeve.height - sleeve.hem.point_at(sleeve.hem.length / 2).y
        girth = self.making.body["upper_arm_girth"]
        hem = min(self._hem_depth, 0.6 * seam)
        return SleevePlan(sleeve, self.armhole, CAP, HEM, over_shoulder, hem, girth)

    @property
    def _share(self) -> float:
        return child_share(self.making)

    @property
    def _arm(self) -> float:
        return self.making.body["arm_length"]

    @property
    def _highest(self) -> float:
        """No cap is higher than this, so that a sleeve longer than it has an underarm seam."""
        return self.cap.highest * self.armhole.girth

    @property
    def _hem_depth(self) -> float:
        return max(self.making.house["sleeve_hem"] * self._share, 6.35)

    def _length(self) -> float:
        """From the crown to the edge; by rule at least so far that hem or band find room under the arm."""
        by_rule = max(KINDS[self.kind].reach * self._arm, self._least_length)
        chosen = self.making.length("sleeve_length", by_rule)
        if chosen < self._least_length - 1e-6:
            raise BadChoice(
                f"a sleeve {chosen:.0f} mm long ends at the underarm of this armhole; make it at least "
                f"{self._least_length + 0.5:.0f} mm long, or leave the armhole without sleeve",
                field="sleeve_length",
            )
        if chosen > 1.25 * self._arm:
            raise BadChoice(
                f"a sleeve {chosen:.0f} mm long hides the hand of an arm of {self._arm:.0f} mm; make it at "
                f"most {1.25 * self._arm - 0.5:.0f} mm long",
                field="sleeve_length",
            )
        return chosen

    @property
    def _least_length(self) -> float:
        below = self._depth if self.end == CUFF else self._hem_depth
        return self._highest + below + 20.0 * self._share

    @property
    def _depth(self) -> float:
        """Of cuff or band; a band above the wrist is half as deep."""
        at_wrist = KINDS[self.kind].reach >= 1.0
        return self.making.house["cuff_depth"] * self._share * (1.0 if at_wrist else 0.5)

    def _arm_at(self, length: float) -> float:
        """Girth of the arm where a sleeve of that length ends."""
        body = self.making.body
        way = min(max((length / self._arm - _THICKEST) / (1.0 - _THICKEST), 0.0), 1.0)
        return body["upper_arm_girth"] + (body["wrist_girth"] - body["upper_arm_girth"]) * _thinned(way)

    def _at_wrist(self, length: float) -> bool:
        return length > 0.9 * self._arm

    def _cuff(self, length: float, girth: float) -> CuffSize:
        """A buttoned cuff at the wrist, a closed band above it."""
        house = self.making.house
        if not self._at_wrist(length):
            closed = self._least(length, girth) + 0.06 * girth
            return CuffSize(self._finished(length, girth, closed), self._depth, 0.0)
        button = min(house["button_diameter"], 0.5 * self._depth)
        lap = max(1.25 * button, 20.0 * self._share)
        return CuffSize(self._finished(length, girth, 1.25 * girth), self._depth, lap, button)

    def _least(self, length: float, girth: float) -> float:
        """The narrowest edge that hand or arm pass."""
        return _HAND * girth if self._at_wrist(length) else 1.04 * girth

    def _finished(self, length: float, girth: float, by_rule: float) -> float:
        """Girth of the finished edge."""
        chosen = self.making.length("sleeve_width", by_rule)
        buttoned = self.end == CUFF and self._at_wrist(length)
        least = 1.04 * girth if buttoned else self._least(length, girth)
        if chosen < least - 1e-6:
            raise BadChoice(
                f"a sleeve {chosen:.0f} mm round at its edge does not go over an arm of {girth:.0f} mm; make "
                f"it at least {least + 0.5:.0f} mm",
                field="sleeve_width",
            )
        return chosen

    def _hem(self, length: float, girth: float, cuff: CuffSize | None) -> float:
        """Width of the sleeve's own edge, before a puff is spread."""
        if self.kind == PUFF:
            return self.width
        if cuff:
            widest = self._widest(length - cuff.depth)
            return max(min(KINDS[self.kind].fullness * cuff.girth, widest), cuff.girth)
        if self.kind == BELL:
            return self._finished(length, girth, _BELL_FULLNESS * self.width)
        tapered = self._tapered(length)
        if self.end == ELASTIC:
            tapered = max(tapered, min(_ELASTIC_FULLNESS * girth, self._widest(length)))
        return self._finished(length, girth, max(tapered, self._least(length, girth)))

    def _widest(self, length: float) -> float:
        """An edge that is gathered by rule is no wider than seams that lean outward a little allow.

        Its ends lie half its width times the tangent of half the lean higher than its middle.
        """
        slope = tan(_GATHERED_LEAN)
        return (self.width + 2 * slope * (length - self._highest)) / (1 + slope * tan(_GATHERED_LEAN / 2))

    def _tapered(self, length: float) -> float:
        """Between the width under the arm and an open wrist, as the arm thins."""
        wrist = (_CLOSE_WRIST if self.kind == FITTED else _OPEN_WRIST) * self.making.body["wrist_girth"]
        top = 0.27 * self.armhole.girth
        way = min(max((length - top) / max(self._arm - top, 1.0), 0.0), 1.0)
        return self.width + (wrist - self.width) * _thinned(way)

    def _bent(self, sleeve: Sleeve) -> Sleeve:
        """Bent at the elbow, where that leaves some seam above and below it."""
        seam = sleeve.front.length
        down = min(max(_ELBOW * self._arm - sleeve.height, 0.2 * seam), 0.8 * seam)
        return bent(sleeve, down, _ELBOW_INTAKE)

    def _slit(self, sleeve: Sleeve) -> float:
        return min(75.0 * self._share, 0.4 * sleeve.front.length)


def _thinned(way: float) -> float:
    """How much of its narrowing an arm has done, ``way`` being the share of the way to the wrist."""
    return float(way**_FOREARM)


def elastic_length(plan: SleevePlan) -> float:
    """Elastic for one edge: a little less than the arm, joined with a lap of half an inch."""
    return 0.95 * plan.girth + 12.7
