"""Every style's lay, checked from the draft's own cut lines by shapely alone: nothing here asks the planner.

What a marker must be (inside the cloth, no overlap, a gap for the shears, on the grain, one way where the
cloth has a direction, each piece as often as it is cut) is common practice, no source. The widths are the 45
and 60 in columns of the US extension service's width chart.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import combinations
from math import atan2, degrees

import pytest
from shapely import affinity
from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from drafting import make_draft
from drafting.body import size_of
from drafting.errors import BadCloth
from drafting.layplan import Cloth, LayPlan, items_for, plan_lay
from drafting.layplan.plan import Placed
from drafting.pattern import Draft, EdgeKind, Piece
from drafting.styles import STYLES

pytestmark = pytest.mark.long

FILL_ONLY = 0.3
"""Seconds: too few to start a packing process, so the quick fill alone is tested, the same on each run."""

AREA_LIMIT = 1.0  # mm2 in which a laid outline may differ from its pattern: far below a chalk line
EDGE_LIMIT = 0.001  # mm

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


def cases() -> Iterator[tuple[str, str, str]]:
    for number, style in enumerate(STYLES):
        for size, cloths in PAIRS:
            yield size, style, cloths[number % 2]


def roles(draft: Draft) -> list[str]:
    return sorted({cut.cloth for piece in draft.pieces for cut in piece.cuts})


def faults(plan: LayPlan, draft: Draft, role: str) -> list[str]:
    """What is wrong with a lay, from the draft and shapely."""
    pieces = {piece.name: piece for piece in draft.pieces}
    cloth = plan.cloth
    shapes = [(f"{placed.piece} {placed.copy}", Polygon(placed.outline)) for placed in plan.placed]
    return [
        *_wrong_counts(plan, draft, role),
        *_not_in_pairs(plan, draft, role),
        *_outside(cloth, shapes),
        *_too_near(cloth, shapes),
        *(
            fault
            for placed in plan.placed
            for fault in _off_pattern(placed, pieces[placed.piece], plan.cloth)
        ),
    ]


def _wrong_counts(plan: LayPlan, draft: Draft, role: str) -> Iterator[str]:
    wanted = Counter(
        {
            piece.name: sum(cut.count for cut in piece.cuts if cut.cloth == role)
            for piece in draft.pieces
            if any(cut.cloth == role for cut in piece.cuts)
        }
    )
    found: Counter[str] = Counter()
    for placed in plan.placed:
        found[placed.piece] += 2 if placed.layer == "double" else 1
    if wanted != found:
        yield f"cut {dict(found - wanted)} too often and {dict(wanted - found)} too seldom"


def _outside(cloth: Cloth, shapes: list[tuple[str, Polygon]]) -> Iterator[str]:
    usable = cloth.width / 2 - cloth.selvedge if cloth.folded else cloth.width - 2 * cloth.selvedge
    for name, shape in shapes:
        _, low, _, high = shape.bounds
        if low < -EDGE_LIMIT or high > usable + EDGE_LIMIT:
            yield f"{name} lies from {low:.3f} to {high:.3f} on a cloth that gives {usable:.0f}"


def _too_near(cloth: Cloth, shapes: list[tuple[str, Polygon]]) -> Iterator[str]:
    for (name, shape), (other_name, other) in combinations(shapes, 2):
        if shape.intersection(other).area > 1e-6:
            yield f"{name} and {other_name} overlap"
        elif shape.distance(other) < cloth.gap - 0.01:
            yield f"{name} and {other_name} are {shape.distance(other):.3f} apart"


def _off_pattern(placed: Placed, piece: Piece, cloth: Cloth) -> Iterator[str]:
    """The laid outline is the pattern with its grain along the cloth, perhaps face down or end to end."""
    if not _hands(placed, piece, cloth):
        yield f"{placed.piece} {placed.copy} is not its pattern on the grain"
    if placed.layer == "fold" and Polygon(placed.outline).bounds[1] > EDGE_LIMIT:
        yield f"{placed.piece} {placed.copy} lies off the fold"


def _hands(placed: Placed, piece: Piece, cloth: Cloth) -> set[int]:
    """How the laid outline can be the pattern: 1 face up, -1 face down, both where it is the same."""
    laid = Polygon(placed.outline)
    shape = _whole(piece) if placed.layer == "single" else Polygon(piece.cut_line)
    return {
        hand
        for hand in (1, -1)
        for end in ((0,) if cloth.one_way else (0, 180))
        if _apart(_turned(shape, end - _grain(piece), hand), laid) <= AREA_LIMIT
    }


def _turned(shape: Polygon, angle: float, hand: int) -> Polygon:
    return affinity.scale(affinity.rotate(shape, angle, origin=(0, 0)), 1, hand, origin=(0, 0))


def _not_in_pairs(plan: LayPlan, draft: Draft, role: str) -> Iterator[str]:
    """Of a piece cut in pairs, as many lie face up as face down; a double is a pair of its own."""
    for piece in draft.pieces:
        cuts = [cut for cut in piece.cuts if cut.cloth == role]
        if cuts and all(cut.mirrored and cut.count % 2 == 0 for cut in cuts):
            rows = [row for row in plan.placed if row.piece == piece.name and row.layer == "single"]
            hands = [_hands(row, piece, plan.cloth) for row in rows]
            up, down = hands.count({1}), hands.count({-1})
            if up != down:
                yield f"{piece.name} lies {up} times face up and {down} times face down"


def _grain(piece: Piece) -> float:
    (x0, y0), (x1, y1) = piece.grain
    return degrees(atan2(y1 - y0, x1 - x0))


def _whole(piece: Piece) -> Polygon:
    """A half that is cut on the fold, opened out; any other piece as it is."""
    half = Polygon(piece.cut_line)
    folds = [edge for edge in piece.edges if edge.kind is EdgeKind.FOLD]
    if not folds:
        return half
    line = LineString([folds[0].path.start, folds[0].path.end])
    (x0, y0), (x1, y1) = line.coords
    angle = degrees(atan2(y1 - y0, x1 - x0))
    flat = affinity.rotate(half, -angle, origin=(x0, y0))
    mirrored = affinity.rotate(affinity.scale(flat, 1, -1, origin=(x0, y0)), angle, origin=(x0, y0))
    # The two halves meet on the fold; a hair's breadth is closed by growing and shrinking.
    return unary_union([half.buffer(0.01), mirrored.buffer(0.01)]).buffer(-0.01)


def _apart(shape: Polygon, laid: Polygon) -> float:
    x, y, *_ = shape.bounds
    left, low, *_ = laid.bounds
    return float(affinity.translate(shape, left - x, low - y).symmetric_difference(laid).area)


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


def test_what_the_refusal_of_a_wide_tier_says_would_do_does() -> None:
    """Strips of 1060 mm with two seam allowances go on the 1120 mm that the cloth gives."""
    body, cloth = size_of("woman-92-168").body(), CLOTHS["open, 45 in"]
    wide = items_for(make_draft("tiered-skirt", body), "shell", cloth)
    narrow = make_draft("tiered-skirt", body, house={"panel_widest": 1060.0})

    with pytest.raises(BadCloth, match="the house rule “Widest panel in one piece” below 1120 mm"):
        plan_lay(wide, cloth, seconds=FILL_ONLY)
    plan = plan_lay(items_for(narrow, "shell", cloth), cloth, seconds=FILL_ONLY)

    assert faults(plan, narrow, "shell") == []
