"""The sleeve block: its cap is its armhole and the ease, whatever its width, length and hem."""

from __future__ import annotations

from math import atan, degrees, hypot, pi

import pytest

from drafting.blocks.sleeve import Sleeve, draft_cap_sleeve, draft_sleeve
from drafting.blocks.sleeve_cap import (
    ArmholeSize,
    CapRule,
    cap_ease,
    cap_height,
    cap_notches,
    cap_path,
    cap_width,
    upper_width,
)
from drafting.blocks.sleeve_changes import bent, shortened, spread
from drafting.errors import CannotDraft
from drafting.geometry import Path, Point, angle_between, distance, intersect, rotated

INCH = 25.4
ARMHOLE = ArmholeSize(front=205.0, back=210.0, front_notch=105.0, back_notch=100.0)
BABY = ArmholeSize(front=100.0, back=98.0, front_notch=48.0, back_notch=46.0)
RULE = CapRule(ease=30.0, lowest=0.22, highest=0.38)


def square_at_its_seams(sleeve: Sleeve) -> list[float]:
    """Angles, degrees, at the four corners between cap or hem and the underarm seams."""
    pairs = (
        (sleeve.cap.start_tangent, sleeve.front.start_tangent),
        (sleeve.cap.end_tangent * -1.0, sleeve.backs[0].start_tangent),
        (sleeve.hem.end_tangent * -1.0, sleeve.front.end_tangent * -1.0),
        (sleeve.hem.start_tangent, sleeve.backs[-1].end_tangent * -1.0),
    )
    return [abs(degrees(angle_between(*pair))) for pair in pairs]


@pytest.mark.parametrize(
    ("armhole", "expected"), [(16.5, 1.25), (20.0, 1.25), (8.25, 0.625)], ids=["whole", "large", "half"]
)
def test_cap_ease_shrinks_with_the_armhole_below_16_1_2(armhole: float, expected: float) -> None:
    assert cap_ease(1.25 * INCH, armhole * INCH) == pytest.approx(expected * INCH)


def test_cap_notches_by_hand() -> None:
    """Armhole 205 + 210, notches 105 and 100 from the shoulder, cap 445: 100, 445 x 205 / 415, 445 - 110."""
    notches = cap_notches(ARMHOLE, 445.0)

    assert (notches.front, notches.back) == (100.0, 335.0)
    assert notches.shoulder == pytest.approx(219.8193, abs=1e-4)


def test_cap_height_and_cap_width_answer_one_another() -> None:
    height = cap_height(340.0, 445.0)

    assert cap_path(340.0, height).length == pytest.approx(445.0, abs=1e-7)
    assert cap_width(height, 445.0) == pytest.approx(340.0, abs=1e-6)
    straight = 0.5 * (445.0**2 - 340.0**2) ** 0.5  # of two chords as long
    assert 0.7 * straight < height < straight


def test_cap_is_hollowed_more_in_front_and_rounder_behind() -> None:
    """Against the chord from underarm to crown the front dips further, the back stands out further."""
    cap = cap_path(340.0, 110.0)
    crown = distance(cap.start, max(cap.flatten(0.01), key=lambda p: p.y))
    assert crown == pytest.approx(hypot(170.0, 110.0), abs=0.1)

    def strays(side: float) -> list[float]:
        chord = hypot(170.0, 110.0)
        points = [p for p in cap.flatten(0.01) if p.x * side >= 0]
        return [((170.0 - abs(p.x)) * -110.0 + p.y * 170.0) / chord for p in points]

    front, back = strays(1.0), strays(-1.0)
    assert min(front) < min(back) < -3.0
    assert max(back) > max(front) > 8.0


@pytest.mark.parametrize("hem", [210.0, 340.0, 520.0], ids=["tapered", "straight", "flared"])
@pytest.mark.parametrize("armhole", [ARMHOLE, BABY])
def test_draft_sleeve_fits_its_armhole_and_is_square_to_its_seams(armhole: ArmholeSize, hem: float) -> None:
    size = armhole.girth / ARMHOLE.girth

    sleeve = draft_sleeve(armhole, CapRule(30.0 * size, 0.22, 0.38), 340.0 * size, 560.0 * size, hem * size)

    assert sleeve.cap.length == pytest.approx(armhole.girth + 30.0 * size, abs=1e-6)
    assert sleeve.front.length == sleeve.backs[0].length
    assert distance(sleeve.front.end, sleeve.backs[0].end) == pytest.approx(hem * size, abs=1e-6)
    assert sleeve.width == pytest.approx(340.0 * size)
    middle = sleeve.hem.point_at(sleeve.hem.length / 2)
    assert sleeve.height - middle.y == pytest.approx(560.0 * size, abs=1e-6)
    assert square_at_its_seams(sleeve) == pytest.approx([90.0] * 4, abs=1e-6)


def test_draft_sleeve_hem_is_an_arc_about_where_its_seams_meet() -> None:
    """Cut and spread turns a strip about its cap: seams 500 long that lean 10 degrees end on one circle."""
    sleeve = draft_sleeve(ARMHOLE, RULE, 340.0, 560.0, 500.0)
    lean = atan((250.0 - 170.0) / -sleeve.front.end.y)
    radius = 250.0 / abs(sleeve.front.end_tangent.x)

    middle = sleeve.hem.point_at(sleeve.hem.length / 2)

    assert sleeve.front.end.y - middle.y == pytest.approx(radius * (1 - abs(sleeve.front.end_tangent.y)))
    assert sleeve.hem.length == pytest.approx(2 * lean * radius, rel=2e-3)


def test_draft_cap_sleeve_covers_the_shoulder_and_arches() -> None:
    sleeve = draft_cap_sleeve(ARMHOLE, RULE, 340.0, 22.0)
    middle = sleeve.hem.point_at(sleeve.hem.length / 2)

    assert sleeve.cap.length == pytest.approx(ARMHOLE.girth + 30.0, abs=1e-6)
    assert sleeve.front.length == pytest.approx(22.0)
    assert middle.y > 0 > sleeve.front.end.y
    assert not intersect(sleeve.cap, sleeve.hem)
    assert square_at_its_seams(sleeve) == pytest.approx([90.0] * 4, abs=1e-6)


def test_upper_width_by_hand() -> None:
    """The arm and its ease where the cap is then neither too high nor too low."""
    assert upper_width(290.0, 50.0, 25.0, 415.0, RULE) == 340.0


def test_upper_width_widens_for_a_thin_arm_and_narrows_for_a_thick_one() -> None:
    wide, narrow = upper_width(200.0, 40.0, 20.0, 415.0, RULE), upper_width(360.0, 50.0, 5.0, 415.0, RULE)

    assert wide > 240.0
    assert cap_height(wide, 445.0) == pytest.approx(0.38 * 415.0, abs=1e-6)
    assert 365.0 < narrow < 410.0
    assert cap_height(narrow, 445.0) == pytest.approx(0.22 * 415.0, abs=1e-6)


def test_upper_width_refuses_an_arm_that_does_not_go_in() -> None:
    with pytest.raises(CannotDraft, match="does not go into an armhole of 415 mm") as refusal:
        upper_width(420.0, 50.0, 25.0, 415.0, RULE)

    assert refusal.value.field == "upper_arm_girth"
    assert "Measure the upper arm" in str(refusal.value)


@pytest.mark.parametrize(
    ("length", "hem", "field"),
    [(100.0, 300.0, "sleeve_length"), (220.0, 900.0, "sleeve_width"), (560.0, 20000.0, "sleeve_width")],
)
def test_draft_sleeve_refuses(length: float, hem: float, field: str) -> None:
    with pytest.raises(CannotDraft) as refusal:
        draft_sleeve(ARMHOLE, RULE, 340.0, length, hem)

    assert refusal.value.field == field


def test_cap_height_and_width_refuse_what_no_cap_spans() -> None:
    with pytest.raises(CannotDraft, match="spans a sleeve 500 mm wide"):
        cap_height(500.0, 400.0)
    with pytest.raises(CannotDraft, match="300 mm high is longer than 400 mm"):
        cap_width(300.0, 400.0)


@pytest.mark.parametrize("fullness", [1.25, 1.5, 2.5])
def test_spread_gathers_the_cap_between_the_notches_only(fullness: float) -> None:
    plain = draft_sleeve(ARMHOLE, RULE, 340.0, 260.0, 340.0)

    puff = spread(plain, ARMHOLE, fullness)

    assert puff.notches.front == plain.notches.front == 100.0
    assert puff.cap.length - puff.notches.back == pytest.approx(110.0)
    assert puff.notches.back - puff.notches.front == pytest.approx(fullness * 205.0, abs=1e-6)
    assert puff.width - plain.width == pytest.approx(puff.hem.length - plain.hem.length, abs=0.01)
    assert puff.height > plain.height
    assert square_at_its_seams(puff) == pytest.approx([90.0] * 4, abs=1e-6)


def test_spread_runs_on_smoothly_at_the_notches() -> None:
    puff = spread(draft_sleeve(ARMHOLE, RULE, 340.0, 260.0, 340.0), ARMHOLE, 1.5)

    for at in (puff.notches.front, puff.notches.back):
        before, after = puff.cap.tangent_at(at - 0.01), puff.cap.tangent_at(at + 0.01)
        assert abs(angle_between(before, after)) < 0.01 * pi


def test_spread_refuses_a_cap_that_is_as_full_already() -> None:
    plain = draft_sleeve(ARMHOLE, RULE, 340.0, 260.0, 340.0)

    with pytest.raises(CannotDraft, match="has no room for its ease"):
        spread(plain, ARMHOLE, 1.05)


def test_shortened_lifts_the_hem_and_leaves_the_cap() -> None:
    sleeve = draft_sleeve(ARMHOLE, RULE, 340.0, 560.0, 210.0)

    lining = shortened(sleeve, 12.0)

    assert lining.cap == sleeve.cap
    assert lining.front.length == pytest.approx(sleeve.front.length - 12.0)
    middles = [one.hem.point_at(one.hem.length / 2).y for one in (lining, sleeve)]
    assert middles[0] - middles[1] == pytest.approx(12.0)
    assert square_at_its_seams(lining) == pytest.approx([90.0] * 4, abs=1e-6)


def test_shortened_refuses_to_leave_nothing() -> None:
    sleeve = draft_cap_sleeve(ARMHOLE, RULE, 340.0, 22.0)

    with pytest.raises(ValueError, match="cannot be split"):
        shortened(sleeve, 22.0)


def test_bent_opens_an_elbow_dart_and_keeps_both_seams_alike() -> None:
    """230 below the underarm: a dart 0.07 of the width there wide, and 0.45 of it long."""
    straight = draft_sleeve(ARMHOLE, RULE, 340.0, 560.0, 210.0)

    sleeve = bent(straight, 230.0, 0.07)

    assert sleeve.elbow is not None
    upper, apex, lower = sleeve.elbow.upper, sleeve.elbow.apex, sleeve.elbow.lower
    wide = distance(straight.front.point_at(230.0), straight.backs[0].point_at(230.0))
    assert distance(upper, lower) == pytest.approx(0.07 * wide)
    assert distance(upper, apex) == pytest.approx(distance(lower, apex))
    assert distance(upper, apex) == pytest.approx(0.45 * wide, rel=0.01)
    assert sum(path.length for path in sleeve.backs) == pytest.approx(sleeve.front.length, abs=0.5)
    assert sleeve.hem.length == pytest.approx(straight.hem.length)
    assert sleeve.front.end.x > straight.front.end.x  # the forearm comes forward
    assert square_at_its_seams(sleeve) == pytest.approx([90.0] * 4, abs=1e-6)


def test_bent_back_seam_runs_on_over_the_closed_dart() -> None:
    sleeve = bent(draft_sleeve(ARMHOLE, RULE, 340.0, 560.0, 210.0), 230.0, 0.07)

    assert sleeve.elbow is not None
    dart = sleeve.elbow
    opening = angle_between(dart.upper - dart.apex, dart.lower - dart.apex)
    folded = rotated(sleeve.backs[1].start_tangent, -opening, Point(0.0, 0.0))
    assert abs(angle_between(sleeve.backs[0].end_tangent, folded)) < 1e-9


def test_outlines_are_simple() -> None:
    for sleeve in (
        draft_sleeve(ARMHOLE, RULE, 340.0, 560.0, 700.0),
        draft_cap_sleeve(ARMHOLE, RULE, 340, 20),
    ):
        paths: tuple[Path, ...] = (sleeve.cap, sleeve.hem, sleeve.front, *sleeve.backs)
        assert [len(intersect(sleeve.cap, other)) for other in paths[1:]] == [0, 1, 1]
