"""The draft's rules against the check values of a girl's jacket-like bodice, and against published figures.

The girl's values (inches) are common practice, no source. Each is shown from the code that drafts.
"""

from __future__ import annotations

from math import isclose

import pytest

from drafting import make_draft
from drafting.blocks import rules
from drafting.blocks.bodice import draft_bodice
from drafting.blocks.pleats import cloth_width, plan_pleats
from drafting.body import Body
from drafting.details.collar import CollarSizes, collar_slant_angle, notched_collar, roll_line
from drafting.geometry import Point, cross, distance, dot, unit
from drafting.house import HOUSE_RULES, INCH, house_rules

HOUSE = house_rules()

# The girl: armhole measure 7, chest 35 (with 1 ease), back length 15.
GIRL = Body.of(
    {
        "stature": 1450.0,
        "bust_girth": 35 * INCH,
        "waist_girth": 30 * INCH,
        "hip_girth": 36 * INCH,
        "neck_base_girth": 12.5 * INCH,
        "armscye_depth": 7 * INCH,
        "back_waist_length": 15 * INCH,
        "front_waist_length": 15.25 * INCH,
    }
)
GIRL_HOUSE = house_rules({"bust_ease": INCH})


def inches(mm: float) -> float:
    return round(mm / INCH, 9)


def test_half_shoulder_of_7_is_drawn_7_1_4() -> None:
    assert inches(rules.half_shoulder_line(7 * INCH, HOUSE)) == 7.25


def test_armhole_line_of_7_is_drawn_7_1_2() -> None:
    assert inches(rules.armhole_line_depth(7 * INCH, HOUSE)) == 7.5

    p = draft_bodice(GIRL, GIRL_HOUSE).proportions

    assert inches(p.nape - p.armhole_line) == 7.5


def test_neck_width_is_half_the_armhole_measure_less_1_with_a_collar() -> None:
    assert inches(rules.neck_width(7 * INCH, HOUSE)) == 2.5
    assert inches(rules.neck_width(7 * INCH, HOUSE, collar=False)) == 3.5

    bodice = draft_bodice(GIRL, GIRL_HOUSE)

    assert inches(bodice.back.neck.x) == 2.5
    assert inches(bodice.front.neck.x) == 2.5


def test_front_neck_depth_is_the_neck_width_and_the_back_neck_1_4_deep() -> None:
    p = draft_bodice(GIRL, GIRL_HOUSE).proportions

    assert inches(p.front_neck_depth) == 2.5
    assert inches(p.back_neck - p.nape) == 0.25


def test_bodice_is_15_long_and_a_quarter_of_35_with_1_ease_is_9() -> None:
    bodice = draft_bodice(GIRL, GIRL_HOUSE)

    assert inches(bodice.proportions.nape) == 15
    assert inches(bodice.back.bust_side.x) == 9
    assert inches(rules.quarter(35 * INCH, 1 * INCH)) == 9
    assert inches(rules.quarter(35 * INCH, 1 * INCH, allowance=HOUSE["side_allowance"])) == 10


def test_front_armhole_is_hollowed_1_2_more_than_the_back() -> None:
    bodice = draft_bodice(GIRL, GIRL_HOUSE)

    def narrowest(panel_armhole: object) -> float:
        return min(point.x for point in panel_armhole.flatten())  # type: ignore[attr-defined]

    assert inches(bodice.proportions.across_back - bodice.proportions.across_front) == 0.5
    assert isclose(narrowest(bodice.back.armhole) - narrowest(bodice.front.armhole), 0.5 * INCH, abs_tol=0.05)


def test_extension_lapel_collar_and_notch_of_the_girl() -> None:
    draft = make_draft("notched-collar-dress", GIRL, {}, {"bust_ease": INCH})
    front, line = draft.piece("front bodice"), draft.roll_lines[0]
    shoulder = front.edge("shoulder").path
    neck = max(shoulder.start, shoulder.end, key=lambda point: point.y)

    assert inches(front.edge("waist extension").length) == 1
    assert inches(abs(line.start.x)) == 1
    assert inches(distance(line.end, neck)) == 0.75
    assert inches(front.edge("collar back").length) == 2.75
    assert 1 <= inches(front.edge("collar notch").length) <= 1.5
    assert inches(GIRL_HOUSE["collar_slant"]) == 0.5


def test_limits_of_the_house_hold_the_trades_own_alternatives() -> None:
    assert HOUSE_RULES["button_extension"].accept(0.75 * INCH) == 0.75 * INCH
    assert HOUSE_RULES["stand_child"].default == 0.5 * INCH
    for width in (2.5, 3.0):
        assert HOUSE_RULES["collar_width"].accept(width * INCH) == width * INCH
    for notch in (1.0, 1.5):
        assert HOUSE_RULES["notch_width"].accept(notch * INCH) == notch * INCH


def test_roll_line_is_carried_on_above_the_neck_by_the_back_neck_length() -> None:
    break_point, neck = Point(-INCH, 7.5 * INCH), Point(2.5 * INCH, 15.25 * INCH)

    passing, top = roll_line(break_point, neck, Point(1.0, 0.0), 0.75 * INCH, 2.75 * INCH)

    assert inches(distance(passing, top)) == 2.75
    assert inches(neck.x - passing.x) == 0.75
    assert abs(cross(unit(passing - break_point), unit(top - passing))) < 1e-12


def test_collar_2_3_4_wide_is_slanted_up_by_1_2() -> None:
    sizes = CollarSizes(INCH, 0.75 * INCH, 2.75 * INCH, 0.5 * INCH, 1.25 * INCH, 3 * INCH, 2.5 * INCH)
    break_point, neck = Point(-INCH, 7.5 * INCH), Point(2.5 * INCH, 15.25 * INCH)

    collar = notched_collar(break_point, neck, Point(1.0, 0.0), 2.75 * INCH, sizes)

    up = unit(collar.roll_neck - break_point)
    back = collar.back.end - collar.back.start
    raised = dot(back, up) / abs(cross(back, up))
    assert isclose(raised, 0.5 / 2.75, rel_tol=1e-9)
    assert inches(collar.neck.length) == 2.75
    assert abs(dot(collar.neck.end_tangent, unit(back))) < 1e-9  # square at the centre back
    assert abs(dot(collar.edge.start_tangent, unit(back))) < 1e-9
    assert isclose(collar_slant_angle(2.75, 0.5), 0.17985, abs_tol=1e-5)


def test_extra_at_the_centre_back_is_added_for_a_zip() -> None:
    zipped = make_draft("notched-collar-dress", GIRL)
    buttoned = make_draft("notched-collar-dress", GIRL, {"closure": "front buttons"})

    assert inches(zipped.piece("back bodice").edge("centre back").allowance) == 0.75
    assert buttoned.piece("back bodice").edge("centre back").allowance == 0


@pytest.mark.parametrize(("kind", "cloth"), [("knife", 3 * (40 + 2 * 40)), ("box", 3 * (40 + 4 * 20))])
def test_pleat_formulae(kind: str, cloth: float) -> None:
    """Knife n (v + 2 d), box n (v + 4 d); full depth takes three times the finished width. Plane geometry."""
    depth = 40 if kind == "knife" else 20

    assert cloth_width(kind, 3, 40, depth) == cloth


def test_conovers_pleated_skirt() -> None:
    """Conover, A Complete Course in Dressmaking, vol. 5 Skirts, pp. 63-69 (public domain), inches.

    A half skirt 44 wide; half waist 14: take-up 30; half hip 20: take-up 24; of 8 pleats one is 2 1/8, the
    other seven 3.982 at the waist and 3.125 at the hip.
    """
    waist, hip, count = 14 - 14 / 8, 20 - 20 / 8, 7
    hip_depth = (24 - 2.125) / count / 2

    plan = plan_pleats("knife", count, (waist * INCH, hip * INCH), (hip_depth * INCH, 1.0), 3 * INCH)

    at_waist = (44 - 14 - 2.125) / count
    assert round(at_waist, 3) == 3.982
    assert round(2 * plan.hip_depth / INCH, 3) == 3.125
    # Conover's widths are of the whole half; ours taper by what waist and hip differ on seven pleats.
    assert isclose(2 * plan.waist_depth / INCH, 3.125 + (hip - waist) / count, rel_tol=1e-9)
    assert isclose(plan.waist_cloth, plan.hip_cloth, rel_tol=1e-12)  # the cloth is as wide above as below


def test_house_ease_lies_in_robinsons_ranges() -> None:
    """Robinson, Ease in Clothing (ch. 16), inches: bust 1 1/2 to 2, dress waist 3/4 to 1, hip 2 to 2 3/4."""
    assert 1.5 <= inches(HOUSE["bust_ease"]) <= 2
    assert 0.75 <= inches(HOUSE["waist_ease"]) <= 1
    assert 2 <= inches(HOUSE["hip_ease"]) <= 2.75


def test_house_allowances_are_those_of_sewing_textbooks() -> None:
    """5/8 in plain; 1/4 in enclosed or curved; 3/4 in at a zip; 1 in where fitted; hem 1 1/2 to 2."""
    assert inches(HOUSE["seam_allowance"]) == 0.625
    assert inches(HOUSE["enclosed_allowance"]) == 0.25
    assert inches(HOUSE["zip_allowance"]) == 0.75
    assert inches(HOUSE["side_allowance"]) >= 1
    assert 1.5 <= inches(HOUSE["hem_depth"]) <= 2


def test_button_extension_covers_half_the_button_and_a_quarter_inch() -> None:
    """Buttonhole standards of sewing textbooks: extension = diameter / 2 + 1/4 in."""
    assert HOUSE["button_extension"] >= HOUSE["button_diameter"] / 2 + INCH / 4
