"""Skirts against published figures. Inches as printed; each check names where its figures stand."""

from __future__ import annotations

from math import isclose, pi

import pytest

from drafting import make_draft
from drafting.blocks.pleats import plan_pleats
from drafting.blocks.skirts.circle import circle_panel, waist_radius
from drafting.blocks.skirts.tiers import tiers
from drafting.body import Body
from drafting.house import HOUSE_RULES, INCH, house_rules

HOUSE = house_rules()
WOMAN = Body.of({"stature": 1629.0, "bust_girth": 907.0, "waist_girth": 725.0, "hip_girth": 967.0})


def inches(mm: float) -> float:
    return mm / INCH


@pytest.mark.parametrize(
    ("share", "printed", "exact"),
    [(1.0, 4.13, 4.138), (0.5, 8.2, 8.276), (1 / 3, 12.4, 12.414), (0.25, 16.56, 16.552)],
)
def test_waist_radius_of_26_in(share: float, printed: float, exact: float) -> None:
    """Source: circle-skirt table of prettyquirkypants.com for a waist of 26 in (it cuts digits off).

    The exact figures are plane geometry, r = W / (2 pi f).
    """
    radius = inches(waist_radius(26 * INCH, share))

    assert radius == pytest.approx(exact, abs=0.0006)
    assert abs(radius - printed) < 0.08


def test_waist_radius_of_24_in() -> None:
    """Source: quiltingboard.com prints 3.82 in for a whole circle on a waist of 24 in."""
    assert inches(waist_radius(24 * INCH, 1.0)) == pytest.approx(3.82, abs=0.005)


@pytest.mark.parametrize(
    ("share", "centimetres"), [(1.0, 11.141), (0.75, 14.854), (0.5, 22.282), (0.25, 44.563)]
)
def test_waist_radius_of_70_cm(share: float, centimetres: float) -> None:
    """Plane geometry, no source."""
    assert waist_radius(700.0, share) / 10 == pytest.approx(centimetres, abs=0.0006)


@pytest.mark.parametrize("share", [0.25, 0.5, 0.75, 1.0])
def test_hem_of_a_circle_is_waist_and_2_pi_f_length(share: float) -> None:
    """Plane geometry, no source: hem = W + 2 pi f L; the panel's own arcs, not the formula, are measured."""
    waist, length = 26 * INCH, 24 * INCH

    panel = circle_panel(waist / 4, waist_radius(waist, share), length)

    assert 4 * panel.waist.length == pytest.approx(waist, abs=0.01)
    assert 4 * panel.hem.length == pytest.approx(waist + 2 * pi * share * length, abs=0.05)


def test_conovers_pleats_take_up_30_at_the_waist_and_24_at_the_hip() -> None:
    """Conover, A Complete Course in Dressmaking, vol. 5 Skirts, pp. 63-69 (public domain).

    Half a skirt 44 in wide: half waist 14, half hip 20, eight pleats. Ours lie four on a quarter.
    """
    plan = plan_pleats("knife", 4, (7 * INCH, 10 * INCH), (1.5 * INCH, 1.0), 3 * INCH)

    assert inches(2 * plan.waist_cloth) == pytest.approx(44)
    assert inches(8 * plan.underlay(plan.waist_depth)) == pytest.approx(30)
    assert inches(8 * plan.underlay(plan.hip_depth)) == pytest.approx(24)


@pytest.mark.parametrize(("seam", "ratio", "cloth"), [(15, 2.5, 37.5), (36, 2, 72)])
def test_gathers_take_their_ratio_of_cloth(seam: float, ratio: float, cloth: float) -> None:
    """Source: worked examples of gathering guides (stitchcoach.blogspot): 15 at 2.5 and 36 at 2."""
    (tier,) = tiers(seam * INCH, 600.0, [ratio])

    assert inches(tier.width) == pytest.approx(cloth)


def test_tiers_double_from_one_to_the_next() -> None:
    """Source: annasmountaintreasures.blogspot.com (2013): 36 in long, three tiers cut 2, 4 and 8 widths."""
    first, second, third = tiers(36 * INCH, 36 * INCH, [2, 2, 2])

    assert [round(tier.width / first.width * 2, 9) for tier in (first, second, third)] == [2, 4, 8]
    assert inches(third.depth) == pytest.approx(12)  # the blog cuts 13, an inch of it for seams


def test_fullness_offered_is_one_and_a_half_to_three_times() -> None:
    """Source: gathering ratios 1.5 to 3 of sewing guides (craftsy; Butterick, The New Dressmaker, 1921)."""
    narrow, wide = (
        make_draft("tiered-skirt", WOMAN, {"tiers": 1, "fullness": ratio}) for ratio in ("1.5", "3")
    )

    for draft, ratio in ((narrow, 1.5), (wide, 3.0)):
        seam = next(seam for seam in draft.seams if seam.name == "waist, front")
        assert draft.side_length(seam.a) == pytest.approx(ratio * draft.side_length(seam.b), abs=0.01)


@pytest.mark.parametrize(
    ("rule", "least", "most"),
    [
        ("straight_hem_depth", 2, 3),
        ("flared_hem_depth", 0.25, 0.375),
        ("hem_depth", 1.5, 2),
        ("trouser_hem_depth", 2, 2),
    ],
)
def test_hems_follow_their_table(rule: str, least: float, most: float) -> None:
    """Source: hem table of the American Sewing Guild (asg.org, 2025): straight and A-line 2 to 3 in, flared
    1/4 to 3/8, dress 1 1/2 to 2, trousers 2."""
    assert least - 1e-9 <= inches(HOUSE_RULES[rule].default) <= most + 1e-9


@pytest.mark.parametrize(
    ("style", "choices", "least", "most"),
    [
        ("straight-skirt", {"skirt": "straight"}, 2, 3),
        ("straight-skirt", {"skirt": "A-line"}, 2, 3),
        ("circle-skirt", {}, 0.25, 0.375),
        ("party-dress", {"skirt": "gathered"}, 1.5, 2),
    ],
)
def test_hems_as_drawn_follow_their_table(
    style: str, choices: dict[str, str], least: float, most: float
) -> None:
    """Source: hem table of the American Sewing Guild (asg.org, 2025)."""
    hem = make_draft(style, WOMAN, choices).piece("skirt front").edge("hem")

    assert least - 1e-9 <= inches(hem.allowance) <= most + 1e-9


def test_a_waistband_has_the_ease_of_a_skirts_waist() -> None:
    """Robinson, Ease in Clothing (ch. 16): skirt waist 1/2 to 3/4 in, hip 2 to 2 3/4."""
    draft = make_draft("straight-skirt", WOMAN)
    found = {row.name: row for row in draft.finished}

    assert 0.5 <= inches(found["waist"].garment - 725) <= 0.75 + 1e-9
    assert 2 <= inches(found["hip"].garment - 967) <= 2.75


def test_straight_skirt_is_as_wide_at_the_hem_as_at_the_hip() -> None:
    """Common practice, no source: straight from the hip down."""
    draft = make_draft("straight-skirt", WOMAN)
    found = {row.name: row.garment for row in draft.finished}

    assert isclose(found["hem of the skirt, all round"], found["hip"], abs_tol=0.01)
