"""Two hundred generated garments, each laid on a generated cloth and checked by shapely (``lay_faults``).

Styles, bodies (babies to large adults), choices, house rules, and cloths: widths, one-way or not, open,
folded, part folded or crosswise, with a repeat, with flaws. On-fold pieces, pairs and bias strips come with
the styles. A refusal counts only where the draft itself shows a piece wider than the cloth; then a wider one
is taken.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan2, ceil, degrees, sin
from random import Random

import pytest
from shapely import affinity
from shapely.geometry import Polygon

from drafting import make_draft
from drafting.body import size_of
from drafting.errors import DraftingError
from drafting.layplan import Cloth, Flaw, LayPlan, Stretch, TooWide, Way, items_for, plan_lay, ways_of
from drafting.pattern import Draft
from drafting.styles import STYLES
from tests.checks.lay_faults import faults, usable_width
from tests.drafting.styles.wearers import random_cases

GARMENTS = 200
A_STYLE = ceil(GARMENTS / len(STYLES))
FILL_ONLY = 0.3
"""Seconds: too few to start a packing process, so the lay is the same on each run."""

WIDTHS = (900.0, 1140.0, 1400.0, 1500.0)
WIDEST = 5900.0
"""mm: wider than any cloth, so that every garment is laid in the end."""


@dataclass(frozen=True)
class Laid:
    plan: LayPlan
    draft: Draft
    role: str


def drafts(style: str, count: int) -> list[Draft]:
    """The first so many of the style's generated garments that can be drafted."""
    found: list[Draft] = []
    for case in random_cases(20 * count, seed=2026, style=style):
        try:
            found.append(case.draft())
        except DraftingError:
            continue
        if len(found) == count:
            break
    return found


def cloth_for(rng: Random, role: str) -> Cloth:
    """An open cloth; how it is folded is chosen after."""
    flaws = tuple(
        Flaw(rng.uniform(20, 1500), rng.uniform(0, 900), rng.choice((5.0, 20.0, 60.0)))
        for _ in range(rng.choice((0, 0, 1, 4)))
    )
    return Cloth(
        role,
        rng.choice(WIDTHS),
        selvedge=rng.choice((5.0, 10.0, 15.0)),
        one_way=rng.random() < 0.4,
        repeat_length=rng.choice((0.0, 0.0, 12.0, 80.0)),
        repeat_width=rng.choice((0.0, 0.0, 60.0)),
        gap=rng.choice((0.0, 2.0, 5.0)),
        stretches=(Stretch(20_000.0, flaws),) if flaws else remnants(rng),
    )


def remnants(rng: Random) -> tuple[Stretch, ...]:
    """Lengths to be used before the roll, now and then."""
    return tuple(Stretch(rng.uniform(300, 1500)) for _ in range(rng.choice((0, 0, 1, 2))))


def lay(draft: Draft, role: str, rng: Random) -> Laid:
    """The lay in a way chosen among those that the cloth allows, on the first cloth that is wide enough."""
    cloth = cloth_for(rng, role)
    chosen = rng.random()
    while not (ways := ways_of([draft], role, cloth)):
        with pytest.raises(TooWide) as refused:
            plan_lay(items_for(draft, role, cloth), cloth, seconds=FILL_ONLY)
        assert_too_wide(refused.value, draft, cloth)
        cloth = replace(cloth, width=min(WIDEST, cloth.width + 300))
    way = list(ways)[int(chosen * len(ways))]
    return Laid(plan_lay(items_for(draft, role, ways[way]), ways[way], seconds=FILL_ONLY), draft, role)


def assert_too_wide(refusal: TooWide, draft: Draft, cloth: Cloth) -> None:
    """The piece, turned to its grain here, is as wide as said (twice a half), and wider than the cloth."""
    piece = draft.piece(refusal.piece)
    (x0, y0), (x1, y1) = piece.grain
    grain = degrees(atan2(y1 - y0, x1 - x0))
    _, low, _, high = affinity.rotate(Polygon(piece.cut_line), -grain, origin=(0, 0)).bounds
    if not (piece.on_fold and leaves_grain(draft, refusal.piece)):
        assert refusal.across == pytest.approx((high - low) * (2 if piece.on_fold else 1), abs=0.5)
    assert refusal.over == pytest.approx(refusal.across - usable_width(cloth))
    assert refusal.over > 0


def leaves_grain(draft: Draft, name: str) -> bool:
    piece = draft.piece(name)
    (fold, *_) = [edge.path for edge in piece.edges if edge.kind == "fold"]
    way = atan2(fold.end.y - fold.start.y, fold.end.x - fold.start.x)
    grain = atan2(piece.grain[1].y - piece.grain[0].y, piece.grain[1].x - piece.grain[0].x)
    return abs(sin(way - grain)) > 1e-4


def roles(draft: Draft) -> list[str]:
    return sorted({cut.cloth for piece in draft.pieces for cut in piece.cuts})


def laid(style: str, count: int, seed: int) -> list[Laid]:
    rng = Random(f"{style} {seed}")
    return [lay(draft, role, rng) for draft in drafts(style, count) for role in roles(draft)]


@pytest.mark.long
@pytest.mark.parametrize("style", list(STYLES))
def test_generated_garments_are_laid_as_they_must_be(style: str) -> None:
    lays = laid(style, A_STYLE, seed=1)

    assert [fault for row in lays for fault in faults(row.plan, row.draft, row.role)] == []
    assert sum(row.role == "shell" for row in lays) == A_STYLE


@pytest.mark.parametrize(
    "style", ["notched-collar-dress", "shirt-blouse", "princess-dress", "trousers", "gored-skirt"]
)
def test_a_generated_garment_is_laid_as_it_must_be(style: str) -> None:
    for row in laid(style, 1, seed=2):
        assert faults(row.plan, row.draft, row.role) == []


def test_the_generated_cloths_are_of_every_kind() -> None:
    """So that the check above cannot pass by never meeting a fold, a repeat or a flaw."""
    rng = Random(1)
    cloths = [cloth_for(rng, "shell") for _ in range(GARMENTS)]

    assert {cloth.one_way for cloth in cloths} == {True, False}
    assert {bool(cloth.repeat_length) for cloth in cloths} == {True, False}
    assert {bool(cloth.repeat_width) for cloth in cloths} == {True, False}
    assert {len(cloth.stretches[0].flaws) if cloth.stretches else 0 for cloth in cloths} == {0, 1, 4}
    (draft,) = drafts("shirt-blouse", 1)
    assert list(ways_of([draft], "shell", Cloth("shell", 1500))) == list(Way)


@pytest.fixture(scope="module")
def blouse() -> Draft:
    return make_draft("shirt-blouse", size_of("woman-92-168").body())


def on(draft: Draft, cloth: Cloth) -> LayPlan:
    return plan_lay(items_for(draft, "shell", cloth), cloth, seconds=FILL_ONLY)


def with_moved(plan: LayPlan, name: str, dx: float, dy: float) -> LayPlan:
    rows = [
        replace(row, outline=tuple((x + dx, y + dy) for x, y in row.outline)) if row.piece == name else row
        for row in plan.placed
    ]
    return replace(plan, placed=tuple(rows))


def test_faults_finds_a_stripe_that_steps(blouse: Draft) -> None:
    checks = on(blouse, Cloth("shell", 1500, repeat_length=80, repeat_width=60))
    back = faults(with_moved(checks, "back", 3.0, 0.0), blouse, "shell")
    (left,) = [n for n, row in enumerate(checks.placed) if row.piece == "front" and row.mirrored]
    rows = list(checks.placed)
    rows[left] = replace(rows[left], outline=tuple((x, y + 4) for x, y in rows[left].outline))

    assert "side: front to back, right steps by 3.00 mm" in back
    assert "side: front to back, left steps by 3.00 mm" in back
    assert "centre front: front steps by 4.00 mm" in faults(
        replace(checks, placed=tuple(rows)), blouse, "shell"
    )


def test_faults_finds_a_piece_on_a_flaw(blouse: Draft) -> None:
    plan = on(blouse, Cloth("shell", 1500))
    spot = Polygon(plan.placed[0].outline).representative_point()
    flaw = Flaw(spot.x, spot.y + plan.cloth.selvedge, 5)
    flawed = replace(plan, cloth=replace(plan.cloth, stretches=(Stretch(9000, (flaw,)),)))
    first = plan.placed[0]

    assert faults(flawed, blouse, "shell") == [f"{first.piece} {first.copy} lies on a flaw"]


@pytest.mark.parametrize("folded", [False, True])
def test_a_garment_is_laid_on_remnants_as_it_must_be_and_faults_finds_what_goes_over_an_end(
    blouse: Draft, folded: bool
) -> None:
    cloth = Cloth("shell", 1500, folded=folded, stretches=(Stretch(700), Stretch(900)))
    plan = on(blouse, cloth)
    short = replace(plan, cloth=replace(cloth, stretches=(Stretch(500), Stretch(900))))

    assert len(plan.used) > 1
    assert faults(plan, blouse, "shell") == []
    assert any("lies over the end of a length" in fault for fault in faults(short, blouse, "shell"))


def test_faults_finds_a_piece_that_leaves_its_layer(blouse: Draft) -> None:
    part = ways_of([blouse], "shell", Cloth("shell", 1500))[Way.PART_FOLDED]
    lower = with_moved(on(blouse, part), "sleeve", 0.0, -500.0)

    assert "sleeve 1 leaves its layer" in faults(lower, blouse, "shell")
