"""Every style's lay, checked from the draft's own cut lines by shapely alone: nothing here asks the planner.

What a marker must be (inside the cloth, no overlap, a gap for the shears, on the grain, one way where the
cloth has a direction, each piece as often as it is cut) is common practice, no source. The widths are the 45
and 60 in columns of the US extension service's width chart.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest
from shapely import affinity
from shapely.geometry import Polygon

from drafting import make_draft
from drafting.body import size_of
from drafting.errors import BadCloth
from drafting.layplan import Cloth, LayPlan, TooWide, items_for, plan_lay
from drafting.layplan.fill import Filler, by_length, by_size
from drafting.layplan.problem import strip_problem
from drafting.layplan.raster import Grid
from drafting.layplan.search import COLUMNS_PER_ROW, FINE_ROWS
from drafting.pattern import Draft
from drafting.styles import STYLES
from tests.checks.lay_faults import faults

pytestmark = pytest.mark.long

FILL_ONLY = 0.3
"""Seconds: too few to start a packing process, so the quick fill alone is tested, the same on each run."""

OPEN = {"one_way": False, "folded": False}
CLOTHS = {
    "open, 45 in": Cloth("any", 1140, **OPEN),
    "one way, 60 in": Cloth("any", 1500, one_way=True),
    "folded, 60 in": Cloth("any", 1500, folded=True),
    "folded one way, 45 in": Cloth("any", 1140, folded=True, one_way=True),
}
PAIRS = [  # size, and the cloth that it is laid on: each cloth by a half of the styles of each size
    ("woman-92-168", ("open, 45 in", "folded, 60 in")),
    ("child-116", ("one way, 60 in", "folded one way, 45 in")),
]
TOO_WIDE = {  # what does not go on folded cloth or on 45 in; the refusal is tested below
    ("woman-92-168", "circle-skirt", "folded, 60 in"),
    ("woman-92-168", "tiered-skirt", "open, 45 in"),
    ("woman-92-168", "tiered-skirt", "folded, 60 in"),
    ("child-116", "tiered-skirt", "folded one way, 45 in"),
}

TOO_WIDE_FOLDED = {
    ("circle-skirt", 1140.0),
    ("circle-skirt", 1500.0),
    ("tiered-skirt", 1140.0),
    ("tiered-skirt", 1500.0),
    ("choir-robe", 1140.0),
}


def cases() -> Iterator[tuple[str, str, str]]:
    for number, style in enumerate(STYLES):
        for size, cloths in PAIRS:
            yield size, style, cloths[number % 2]


def roles(draft: Draft) -> list[str]:
    return sorted({cut.cloth for piece in draft.pieces for cut in piece.cuts})


@pytest.mark.parametrize(("size", "style", "on"), list(cases()))
def test_every_style_is_laid_as_it_must_be(size: str, style: str, on: str) -> None:
    draft = make_draft(style, size_of(size).body())

    for role in roles(draft):
        cloth = CLOTHS[on]
        items = items_for(draft, role, cloth)
        if role == "shell" and (size, style, on) in TOO_WIDE:
            with pytest.raises(BadCloth, match=r"mm too wide\. What would do: a cloth "):
                plan_lay(items, cloth, seconds=FILL_ONLY)
            continue
        plan = plan_lay(items, cloth, seconds=FILL_ONLY)
        assert faults(plan, draft, role) == []


@pytest.fixture(scope="module")
def blouse() -> tuple[Draft, LayPlan]:
    draft = make_draft("shirt-blouse", size_of("woman-92-168").body())
    cloth = CLOTHS["one way, 60 in"]
    return draft, plan_lay(items_for(draft, "shell", cloth), cloth, seconds=FILL_ONLY)


def with_one(plan: LayPlan, name: str, change: Callable[[Polygon], Polygon]) -> LayPlan:
    """The plan with the first piece of a name changed."""
    at = next(number for number, row in enumerate(plan.placed) if row.piece == name)
    outline = tuple(change(Polygon(plan.placed[at].outline)).exterior.coords[:-1])
    rows = list(plan.placed)
    rows[at] = replace(rows[at], outline=outline)
    return replace(plan, placed=tuple(rows))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda shape: affinity.translate(shape, 0, -shape.bounds[1] - 1), "lies from -1.000"),
        (lambda shape: affinity.rotate(shape, 180), "is not its pattern on the grain"),
        (lambda shape: affinity.rotate(shape, 2), "is not its pattern on the grain"),
        (lambda shape: affinity.scale(shape, 1.001, 1), "is not its pattern on the grain"),
        (lambda shape: affinity.scale(shape, 1, -1), "sleeve lies 0 times face up and 2 times face down"),
    ],
)
def test_faults_finds_a_piece_that_lies_wrong(
    blouse: tuple[Draft, LayPlan], change: Callable[[Polygon], Polygon], words: str
) -> None:
    draft, plan = blouse

    assert any(words in fault for fault in faults(with_one(plan, "sleeve", change), draft, "shell"))


def test_faults_finds_a_piece_too_few_and_one_too_near(blouse: tuple[Draft, LayPlan]) -> None:
    draft, plan = blouse
    few = replace(plan, placed=plan.placed[1:])
    near = replace(plan, cloth=replace(plan.cloth, gap=30.0))
    on_top = replace(
        plan, placed=(*plan.placed[:-1], replace(plan.placed[-1], outline=plan.placed[0].outline))
    )

    assert any("1} too seldom" in fault for fault in faults(few, draft, "shell"))
    assert any(" apart" in fault for fault in faults(near, draft, "shell"))
    assert any(" overlap" in fault for fault in faults(on_top, draft, "shell"))


@pytest.mark.parametrize(("style", "on"), [("shirt-blouse", "open, 45 in"), ("party-dress", "folded, 60 in")])
def test_what_the_packers_find_is_as_it_must_be_and_no_longer_than_the_fill(style: str, on: str) -> None:
    draft, cloth = make_draft(style, size_of("woman-92-168").body()), CLOTHS[on]
    items = items_for(draft, "shell", cloth)

    fill = plan_lay(items, cloth, seconds=FILL_ONLY)
    packed = plan_lay(items, cloth, seconds=2.5)

    assert faults(packed, draft, "shell") == []
    assert packed.length <= fill.length


@pytest.mark.parametrize("width", [1140.0, 1500.0])
@pytest.mark.parametrize("style", STYLES)
def test_a_folded_lay_is_never_longer_than_the_plain_fill_of_the_fold(style: str, width: float) -> None:
    """The fill: each piece in turn as far to the left as it goes, from long to short or large to small."""
    draft, cloth = make_draft(style, size_of("woman-92-168").body()), Cloth("any", width, folded=True)
    items = items_for(draft, "shell", cloth)
    try:
        problem = strip_problem(items, cloth, cloth.rotations)
    except TooWide:
        assert (style, width) in TOO_WIDE_FOLDED
        return
    filler = Filler(problem, Grid.of(problem, FINE_ROWS, COLUMNS_PER_ROW))

    plan = plan_lay(items, cloth, seconds=FILL_ONLY)

    fills = [filler.fill(order(problem)) for order in (by_length, by_size)]
    assert plan.length <= min(fill.length(problem) for fill in fills if fill) + 1e-6


def test_what_the_refusal_of_a_wide_tier_says_would_do_does() -> None:
    """Strips of 1060 mm with two seam allowances go on the 1120 mm that the cloth gives."""
    body, cloth = size_of("woman-92-168").body(), CLOTHS["open, 45 in"]
    wide = items_for(make_draft("tiered-skirt", body), "shell", cloth)
    narrow = make_draft("tiered-skirt", body, house={"panel_widest": 1060.0})

    with pytest.raises(BadCloth, match="the house rule “Widest panel in one piece” below 1120 mm"):
        plan_lay(wide, cloth, seconds=FILL_ONLY)
    plan = plan_lay(items_for(narrow, "shell", cloth), cloth, seconds=FILL_ONLY)

    assert faults(plan, narrow, "shell") == []
