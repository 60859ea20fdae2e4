"""Collars and buttons against published figures, each named beside its check."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.details.buttons import HOLE_BEYOND, Button
from drafting.details.collars.standing import RISE_SHARE, band
from drafting.house import HOUSE_RULES, INCH, house_rules, least_extension
from drafting.pattern import MarkKind
from tests.drafting.styles.parts.dressed import drafted

# Text-Book on Domestic Art (public domain): neck base 13, height 2 1/2; the collar is drawn in a rectangle of
# half the neck by the height + 1, its end raised by 1.
NECK_BASE, HEIGHT, END_RISE = 13 * INCH, 2.5 * INCH, 1 * INCH
RECTANGLE = (6.5 * INCH, 3.5 * INCH)


def test_standing_collar_of_2_1_2_inches_rises_1_inch_at_its_end() -> None:
    assert pytest.approx(END_RISE) == RISE_SHARE * HEIGHT

    leaf = band(NECK_BASE / 2, HEIGHT, RISE_SHARE * HEIGHT)

    assert leaf.neck.end.y == pytest.approx(END_RISE, abs=0.1)
    assert leaf.neck.length == pytest.approx(6.5 * INCH, abs=0.01)


def test_standing_collar_fits_into_its_rectangle() -> None:
    width, height = RECTANGLE

    leaf = band(NECK_BASE / 2, HEIGHT, END_RISE)

    points = [p for path in (leaf.neck, leaf.edge, leaf.end) for p in path.flatten()]
    assert max(p.x for p in points) <= width
    assert max(p.y for p in points) <= height + 0.1
    assert max(p.y for p in points) > height - INCH / 8  # its end leans, square to the neck edge
    assert min(p.y for p in points) >= -1e-9


def test_a_standing_collar_of_the_house_keeps_the_proportion_of_the_textbook() -> None:
    draft = drafted({"collar": "stand", "collar_width": 50.8})

    neck = draft.piece("collar").edge("collar neck").path
    assert abs(neck.end.y - neck.start.y) == pytest.approx(50.8 * 1 / 2.5, abs=0.1)


def test_collar_stand_is_1_inch_and_the_turned_over_collar_3() -> None:
    """Source: Rosenfeld, The Practical Designer (1918, public domain): turnover collar, stand 1, width 3."""
    assert HOUSE_RULES["collar_stand"].default == 1 * INCH
    assert HOUSE_RULES["turnover_width"].default == 3 * INCH

    draft = drafted({"collar": "turnover"})

    assert draft.piece("collar").edge("collar back").length == pytest.approx(3 * INCH)


# Buttons. Source: buttonhole standards of sewing textbooks: extension half the diameter + 1/4 in, or 3/4 of
# the diameter; hole = diameter + thickness. Their example: diameter 1, thickness 1/4, hole 1 1/4, of which
# 1 1/8 lies on one side of the button's place and 1/8 on the other.
EXAMPLE = Button(1 * INCH, 0.25 * INCH)


def test_buttonhole_of_a_button_of_1_inch_and_1_4_thick_is_1_1_4() -> None:
    assert EXAMPLE.hole == 1.25 * INCH


def test_buttonhole_lies_1_1_8_on_one_side_and_1_8_on_the_other() -> None:
    draft = drafted(
        {"closure": "front buttons"},
        house={"button_diameter": 1 * INCH, "button_thickness": 0.25 * INCH, "button_extension": 1 * INCH},
    )

    hole = next(mark for mark in draft.piece("front bodice").marks if mark.name.startswith("buttonhole"))
    centre = next(mark for mark in draft.piece("front bodice").marks if mark.name == "centre front")
    parts = sorted(abs(p.x - centre.path.start.x) for p in (hole.path.start, hole.path.end))
    assert parts == pytest.approx([INCH / 8, 1.125 * INCH], abs=0.2)  # 1/8 in is drawn as 3 mm
    assert parts[0] == HOLE_BEYOND


@pytest.mark.parametrize(("diameter", "reach"), [(0.5, 0.375), (1.0, 0.75), (1.5, 1.0)])
def test_extension_of_a_button_stand(diameter: float, reach: float) -> None:
    """3/4 of the diameter; half of it + 1/4 in where that is less."""
    assert least_extension(diameter * INCH) == pytest.approx(reach * INCH)


def test_a_button_stand_is_never_narrower_than_its_button_needs() -> None:
    wide = house_rules({"button_diameter": 1.5 * INCH, "button_extension": 1 * INCH})

    draft = drafted({"closure": "front buttons"}, "baby", house=dict(wide))

    assert draft.piece("front bodice").edge("neck extension").length >= 1 * INCH - 1e-9


@pytest.mark.parametrize("closure", ["folded placket", "half placket"])
def test_an_upright_buttonhole_lies_1_8_above_its_button_and_1_1_8_below_it(closure: str) -> None:
    """The same example on a placket, whose holes run along it (that they do: common practice, no source)."""
    body = Body.of({"stature": 1629.0, "bust_girth": 907.0, "waist_girth": 725.0, "hip_girth": 967.0})
    house = {"button_diameter": 1 * INCH, "button_thickness": 0.25 * INCH, "placket_width": 2 * INCH}
    draft = make_draft("shirt-blouse", body, {"closure": closure}, house)
    marks = [mark for piece in draft.pieces for mark in piece.marks]
    holes = [m.path for m in marks if m.kind is MarkKind.BUTTONHOLE and m.name == "buttonhole (right front)"]
    places = [m.path.point_at(m.path.length / 2) for m in marks if m.name == "button (left front)"]

    assert len(holes) == len(places) > 1
    for hole, place in zip(holes, places, strict=True):
        assert hole.length == pytest.approx(1.25 * INCH)
        assert hole.start.y - place.y == pytest.approx(INCH / 8, abs=0.2)  # 1/8 in is drawn as 3 mm
        assert place.y - hole.end.y == pytest.approx(1.125 * INCH, abs=0.2)
