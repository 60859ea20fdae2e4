"""Sleeves against figures and computations from outside the project."""

from __future__ import annotations

from math import isclose

import pytest
from fontTools.misc.bezierTools import calcCubicArcLength

from drafting.blocks.bodice import draft_bodice
from drafting.blocks.sleeve import draft_cap_sleeve, draft_sleeve
from drafting.blocks.sleeve_cap import ArmholeSize, CapRule, cap_height, cap_path
from drafting.blocks.sleeve_changes import spread
from drafting.body import Body
from drafting.geometry import Cubic, Path
from drafting.house import HOUSE_RULES, INCH, house_rules
from drafting.pattern import Draft, Seam
from drafting.styles.choices import read_all
from drafting.styles.parts.closures import Closure
from drafting.styles.parts.part import composed
from drafting.styles.parts.sleeves import LONG, PUFF, Sleeves
from drafting.styles.parts.uppers import FittedBodice
from drafting.truing.sleeves import sleeve_checks
from drafting.units import Unit

HOUSE = house_rules()
# ANSUR 1988, women, n = 2208: means (bust 907.1, natural waist 725.5, hip 966.9, stature 1629.4, scye girth
# 371.3, scye depth 185.7, back waist length 367.3). The upper arm, hanging, at the armpit: 291.6.
MEAN_WOMAN = Body.of(
    {
        "stature": 1629.4,
        "bust_girth": 907.1,
        "waist_girth": 725.5,
        "hip_girth": 966.9,
        "armscye_girth": 371.3,
        "armscye_depth": 185.7,
        "back_waist_length": 367.3,
        "upper_arm_girth": 291.6,
    }
)
STYLE = composed("sleeved", "Sleeved", "", (Closure(), FittedBodice(), Sleeves((LONG, PUFF))))


def drafted(kind: str = LONG, body: Body = MEAN_WOMAN) -> Draft:
    return STYLE.recipe(body, read_all(STYLE, {"sleeve": kind}, Unit.MM), HOUSE)


def armhole_seam(draft: Draft) -> Seam:
    return next(seam for seam in draft.seams if seam.name == "armhole")


def test_cap_ease_lies_in_robinsons_range() -> None:
    """Robinson, Ease in Clothing (ch. 16): 1 to 1 1/2 in. 2 to 4 cm: common practice, no source.

    Measured on a draft whose armhole is 16 1/2 in and more round, from the drawn edges.
    """
    body = Body.of({"stature": 1700.0, "bust_girth": 1150.0, "waist_girth": 980.0, "hip_girth": 1200.0})
    draft = drafted(body=body)
    seam = armhole_seam(draft)

    ease = draft.side_length(seam.a) - draft.side_length(seam.b)

    assert draft.side_length(seam.b) >= 16.5 * INCH
    assert 1.0 <= ease / INCH <= 1.5
    assert 20.0 <= ease <= 40.0
    assert all(row.ok for row in sleeve_checks(draft))


def test_upper_arm_has_armstrongs_two_inches() -> None:
    """Upper arm + 2 in: Armstrong, as cited by a pattern maker. Measured on the drawn sleeve."""
    cap = drafted().piece("sleeve").edge("cap").path

    assert HOUSE_RULES["sleeve_ease"].default == 2 * INCH
    assert isclose(abs(cap.start.x - cap.end.x), 291.6 + 2 * INCH, abs_tol=1e-6)


def test_armhole_of_the_mean_woman_is_her_scye_girth_and_a_little_ease() -> None:
    """ANSUR 1988, women: scye girth 371.3, sd 23.0. Less would bind; an inch and a half more is loose."""
    bodice = draft_bodice(MEAN_WOMAN, HOUSE)

    armhole = bodice.front.armhole.length + bodice.back.armhole.length

    assert 371.3 <= armhole <= 371.3 + 1.5 * INCH


def test_vincents_depth_of_scye_takes_the_whole_sleeve() -> None:
    """Vincent, Systems of Cutting, p. 39 (public domain): breast 36 in, depth of scye 36 / 6 + 3 = 9 in.

    Drawn to that depth, an armhole takes the arm of a 36 in breast (ANSUR II regression) with all its ease
    under a cap that is as high as the trade has it.
    """
    depth = (36 / 6 + 3) * INCH
    body = Body.of(
        {
            "stature": 1650.0,
            "bust_girth": 36 * INCH,
            "waist_girth": 28 * INCH,
            "hip_girth": 38 * INCH,
            "armscye_depth": depth - HOUSE["armhole_ease"],
        }
    )
    draft = drafted(body=body)
    cap = draft.piece("sleeve").edge("cap").path

    assert depth == 9 * INCH
    assert isclose(abs(cap.start.x - cap.end.x), body["upper_arm_girth"] + 2 * INCH, abs_tol=1e-6)
    height = max(point.y for point in cap.flatten()) - min(cap.start.y, cap.end.y)
    # Text-Book on Domestic Art (public domain) has 4 in for its sleeve; a third of the armhole is common
    # practice, no source.
    assert 4.0 <= height / INCH <= draft.side_length(armhole_seam(draft).b) / 3 / INCH


def test_gathers_of_a_puff_lie_in_butterick_s_range() -> None:
    """Butterick, The New Dressmaker (1921), pp. 141, 146: gathers take 1 1/2 to 3 times the length."""
    draft = drafted(PUFF)
    cap = sorted(notch.at for notch in draft.piece("sleeve").notches if notch.edge == "cap")
    on_front, on_back = (
        draft.piece(name).edge("armhole").length - _below(draft, name)
        for name in ("front bodice", "back bodice")
    )

    fullness = (cap[-1] - cap[0]) / (on_front + on_back)

    assert 1.5 - 1e-9 <= fullness <= 3.0


def _below(draft: Draft, name: str) -> float:
    """From the lowest notch of an armhole to the underarm, mm; a front's first notch is at the shoulder."""
    piece = draft.piece(name)
    edge = piece.edge("armhole")
    shoulder = edge.path.start if edge.path.start.y > edge.path.end.y else edge.path.end
    downward = shoulder == edge.path.start
    places = [n.at if downward else edge.length - n.at for n in piece.notches if n.edge == "armhole"]
    return edge.length - max(places)


ARMHOLE = ArmholeSize(196.0, 187.0, 99.0, 96.0)
RULE = CapRule(29.0, 0.22, 0.38)
SLEEVES = {
    "tapered": draft_sleeve(ARMHOLE, RULE, 346.0, 544.0, 207.0),
    "flared": draft_sleeve(ARMHOLE, RULE, 346.0, 544.0, 700.0),
    "cap": draft_cap_sleeve(ARMHOLE, RULE, 346.0, 22.0),
    "puff": spread(draft_sleeve(ARMHOLE, RULE, 346.0, 220.0, 346.0), ARMHOLE, 1.5),
}


def by_font_tools(path: Path) -> float:
    """Length of a path of cubics by fontTools, which halves each until chord and polygon agree."""
    return sum(
        calcCubicArcLength(curve.p0, curve.p1, curve.p2, curve.p3, tolerance=1e-7)
        for curve in path.segments
        if isinstance(curve, Cubic)
    )


@pytest.mark.parametrize("kind", SLEEVES)
def test_lengths_of_cap_and_hem_agree_with_font_tools(kind: str) -> None:
    """An independent computation of arc length (fontTools, misc.bezierTools)."""
    sleeve = SLEEVES[kind]

    for path in (sleeve.cap, sleeve.hem):
        assert all(isinstance(segment, Cubic) for segment in path.segments)
        assert path.length == pytest.approx(by_font_tools(path), rel=1e-6)


def test_cap_is_as_long_as_asked_by_font_tools() -> None:
    for kind in ("tapered", "flared", "cap"):
        assert by_font_tools(SLEEVES[kind].cap) == pytest.approx(ARMHOLE.girth + 29.0, rel=1e-6)


def test_height_of_a_cap_by_font_tools() -> None:
    """The height found is that at which the independent length is the one asked for."""
    height = cap_height(346.0, 412.0)

    assert (
        by_font_tools(cap_path(346.0, height - 0.01)) < 412.0 < by_font_tools(cap_path(346.0, height + 0.01))
    )
