"""What the recipe of the notched-collar dress decides before it draws: sizes from body, choices and house."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from drafting.blocks.bodice import Bodice, draft_bodice
from drafting.blocks.rules import House, proportion
from drafting.blocks.skirts.pleated import PleatWish, plan_quarter
from drafting.body import Body
from drafting.details.collar import CollarSizes, NotchedCollar, folded, notched_collar
from drafting.details.pleats import PleatPlan
from drafting.errors import BadChoice, CannotDraft
from drafting.geometry import Path, Point
from drafting.styles.choices import ChoiceValue

SMALL_CHILD_YEARS = 7.0
SMALL_CHILD_STATURE = 1220.0  # mm, where nobody said the age


@dataclass(frozen=True, slots=True)
class DressPlan:
    """Everything that the pieces are drawn from."""

    body: Body
    house: House
    bodice: Bodice
    collar: NotchedCollar
    sizes: CollarSizes
    back_neck: Path  # neck point to centre back
    pleats: PleatPlan
    kind: str
    length: float  # of the skirt
    hip_level: float
    zip_closure: bool
    lining: str  # none, bodice, full
    break_point: str

    @property
    def faced_shoulder(self) -> float:
        """Shoulder seam of the neck facings."""
        return min(self.facing_width, 0.42 * self.bodice.front.shoulder.length)

    @property
    def share(self) -> float:
        """How far a child's widths shrink."""
        return proportion(self.bodice.proportions.neck_width)

    @property
    def facing_width(self) -> float:
        """Of neck and armhole facings."""
        return self.house["facing_width"] * self.share

    @property
    def skirt_lined(self) -> bool:
        return self.lining == "full"


def is_small_child(body: Body) -> bool:
    """Under seven years; where nobody said the age, under 1.22 m."""
    if body.age_years is None:
        return body["stature"] < SMALL_CHILD_STATURE
    return body.age_years < SMALL_CHILD_YEARS


def plan_dress(body: Body, choices: Mapping[str, ChoiceValue], house: House) -> DressPlan:
    """Decide every size. Raises: CannotDraft, BadChoice."""
    bodice = draft_bodice(body, house)
    back_neck = _back_neck(bodice)
    sizes = _collar_sizes(body, bodice, choices, house)
    collar = _collar(bodice, back_neck, sizes, choices, house)
    hip_level = body["waist_to_hip"]
    return DressPlan(
        body,
        house,
        bodice,
        collar,
        sizes,
        back_neck,
        _pleats(body, bodice.front.waist.length, choices, house),
        str(choices["pleat_kind"]),
        _skirt_length(body, choices, house, hip_level),
        hip_level,
        choices["closure"] == "centre-back zip",
        str(choices["lining"]),
        str(choices["break_point"]),
    )


def _back_neck(bodice: Bodice) -> Path:
    """From the neck point down and round to the nape, square to the centre back."""
    neck, nape = bodice.back.neck, Point(0.0, bodice.proportions.nape)
    drop = neck.y - nape.y
    inward = Point(neck.x - 0.14 * neck.x, neck.y - 0.85 * drop)
    return Path.cubic(neck, inward, Point(0.5 * neck.x, nape.y), nape)


def _length(choices: Mapping[str, ChoiceValue], name: str, otherwise: float) -> float:
    value = choices[name]
    return float(value) if value else otherwise


def _collar_sizes(
    body: Body, bodice: Bodice, choices: Mapping[str, ChoiceValue], house: House
) -> CollarSizes:
    p = bodice.proportions
    share = proportion(p.neck_width)
    stand = house["stand_child"] if is_small_child(body) else house["stand"] * share
    need = min(house["button_diameter"] / 2 + 6.35, 0.75 * house["button_diameter"])
    width = _length(choices, "collar_width", house["collar_width"] * share)
    if width < stand + 15:
        raise BadChoice(
            f"a collar {width:.0f} mm wide does not cover its stand of {stand:.0f} mm; make it at least "
            f"{ceil(stand + 15):d} mm wide",
            field="collar_width",
        )
    return CollarSizes(
        extension=max(need, house["button_extension"] * max(share, 0.75)),
        stand=stand,
        width=width,
        slant=house["collar_slant"] * share,
        notch=_length(choices, "notch_width", house["notch_width"] * share),
        lapel=_length(choices, "lapel_width", house["lapel_width"] * share),
        gorge=p.front_neck_depth,
    )


def _collar(
    bodice: Bodice,
    back_neck: Path,
    sizes: CollarSizes,
    choices: Mapping[str, ChoiceValue],
    house: House,
) -> NotchedCollar:
    front = bodice.front
    armhole_line = front.underarm.y
    lowest = min(house["waist_break_rise"], 0.2 * armhole_line)
    heights = {"armhole line": armhole_line, "half-way": armhole_line / 2, "waist": lowest}
    at = Point(-sizes.extension, heights[str(choices["break_point"])])
    collar = notched_collar(at, front.neck, front.shoulder.start_tangent, back_neck.length, sizes)
    beyond = _beyond_front(collar, bodice)
    if beyond > 0:
        field = "lapel_width" if choices["lapel_width"] else "break_point"
        raise BadChoice(
            f"turned over, the lapel would reach {beyond:.0f} mm beyond the front: choose a lapel at least "
            f"{beyond:.0f} mm narrower, or a lower break",
            field=field,
        )
    return collar


def _beyond_front(collar: NotchedCollar, bodice: Bodice) -> float:
    """How far, mm, the turned lapel passes the shoulder or, less 5, the armhole and side; negative within."""
    front = bodice.front
    edge = (*front.armhole.flatten(1.0), front.waist_side)
    tip, slope = front.shoulder.end, front.shoulder.start_tangent
    worst = -1e9
    for point in folded(collar):
        worst = max(worst, point.x - _outermost(edge, point.y) + 5)
        if point.x > front.neck.x:
            over = (point.y - tip.y) - (point.x - tip.x) * slope.y / slope.x
            worst = max(worst, over)
    return worst


def _outermost(edge: Sequence[Point], y: float) -> float:
    """The least x of a line of points within 6 mm of a height; that of its ends beyond them."""
    level = min(max(y, edge[-1].y), edge[0].y)
    xs = [q.x for q in edge if abs(q.y - level) <= 6]
    for a, b in pairwise(edge):
        if min(a.y, b.y) <= level <= max(a.y, b.y):
            xs.append(a.x + (b.x - a.x) * ((level - a.y) / (b.y - a.y) if b.y != a.y else 0.0))
    return min(xs)


def _pleats(body: Body, waist: float, choices: Mapping[str, ChoiceValue], house: House) -> PleatPlan:
    wish = PleatWish(
        str(choices["pleat_kind"]),
        int(choices["pleats"]),
        _length(choices, "pleat_depth", house["pleat_depth"]),
        house["pleat_least"],
        house["pleat_overlap"],
    )
    return plan_quarter(wish, waist, (body["hip_girth"] + house["hip_ease"]) / 4)


def _skirt_length(body: Body, choices: Mapping[str, ChoiceValue], house: House, hip_level: float) -> float:
    length = _length(choices, "skirt_length", body["waist_to_knee"])
    shortest, longest = hip_level + house["skirt_shortest"], body["waist_height"] - 15.0
    if longest < shortest:
        raise CannotDraft(
            "the hip lies so low that no skirt ends between it and the floor; measure waist to hip again",
            field="waist_to_hip",
        )
    if length < shortest or length > longest:
        raise BadChoice(
            f"a skirt of {length:.0f} mm: it must end between {shortest:.0f} mm (below the hip) and "
            f"{longest:.0f} mm (above the floor)",
            field="skirt_length" if choices["skirt_length"] else "waist_to_knee",
        )
    return length
