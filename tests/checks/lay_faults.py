"""What is wrong with a lay, from the draft's own lines, the cloth and shapely: nothing asks the planner.

What a lay must be (inside the cloth, no overlap, a gap for the shears, on the grain, one way where the cloth
has a direction, each piece as often as it is cut, clear of flaws, stripes met) is common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from math import atan2, degrees

from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

from drafting.layplan import Cloth, LayPlan, matches_of
from drafting.layplan.plan import Placed
from drafting.pattern import Draft, EdgeKind, Piece

AREA_LIMIT = 1.0  # mm2 in which a laid outline may differ from its pattern: far below a chalk line
EDGE_LIMIT = 0.001  # mm
PHASE_LIMIT = 0.6  # mm by which a stripe may step at a notch: the planner's own limit and a hair


def faults(plan: LayPlan, draft: Draft, role: str) -> list[str]:
    """What is wrong with a lay, from the draft and shapely."""
    pieces = {piece.name: piece for piece in draft.pieces}
    cloth = plan.cloth
    shapes = [(f"{placed.piece} {placed.copy}", Polygon(placed.outline)) for placed in plan.placed]
    return [
        *_wrong_counts(plan, draft, role),
        *_not_in_pairs(plan, draft, role),
        *_outside(cloth, shapes),
        *_off_layer(plan),
        *_on_flaws(plan, shapes),
        *_over_ends(plan, shapes),
        *_too_near(cloth, shapes),
        *_mismatched(plan, draft, role),
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


def usable_width(cloth: Cloth) -> float:
    """Width of the cloth on the table between its edges, mm, from its own figures."""
    shrunk = cloth.width * (1 - cloth.shrinkage_width)
    if cloth.fold_depth:
        return shrunk - 2 * cloth.selvedge - cloth.fold_depth
    return (
        shrunk / 2 - cloth.selvedge if cloth.folded and not cloth.crosswise else shrunk - 2 * cloth.selvedge
    )


def _off_layer(plan: LayPlan) -> Iterator[str]:
    """Part folded cloth is double up to the edge folded over, and single beyond its selvedge."""
    depth = plan.cloth.fold_depth
    for placed in plan.placed if depth else ():
        _, low, _, high = Polygon(placed.outline).bounds
        single = placed.layer == "single"
        if low < depth + plan.cloth.selvedge - EDGE_LIMIT if single else high > depth + EDGE_LIMIT:
            yield f"{placed.piece} {placed.copy} leaves its layer"


def _on_flaws(plan: LayPlan, shapes: list[tuple[str, Polygon]]) -> Iterator[str]:
    """Flaws of the first length; on folded cloth each layer's lie on the other as well."""
    cloth = plan.cloth
    lengthwise = cloth.folded and not cloth.crosswise
    fold = cloth.fold_depth + cloth.selvedge if cloth.fold_depth else cloth.width / 2
    for flaw in cloth.stretches[0].flaws if cloth.stretches else ():
        y = abs(flaw.across - fold) if lengthwise else flaw.across - cloth.selvedge
        half = flaw.size / 2
        hole = box(flaw.at - half, y - half, flaw.at + half, y + half)
        for name, shape in shapes:
            if shape.intersection(hole).area > 1e-6:
                yield f"{name} lies on a flaw"


def _over_ends(plan: LayPlan, shapes: list[tuple[str, Polygon]]) -> Iterator[str]:
    """No piece lies over the end of a length: 30 mm go with its two cut ends, a repeat where one is matched.

    Lengths lie 10 mm apart on the table.
    """
    cloth, start = plan.cloth, 0.0
    for stretch in cloth.stretches:
        given = stretch.length * (1 - cloth.shrinkage_length) - 30 - cloth.repeat_length
        end = start + max(given, 0.0) / (2 if cloth.folded and cloth.crosswise else 1)
        for name, shape in shapes:
            low, _, high, _ = shape.bounds
            if low < end - 1e-6 < high - 2e-6 or end + 1e-6 < low < end + 10 - 1e-6:
                yield f"{name} lies over the end of a length"
        start = end + 10


def _outside(cloth: Cloth, shapes: list[tuple[str, Polygon]]) -> Iterator[str]:
    usable = usable_width(cloth)
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


def _mismatched(plan: LayPlan, draft: Draft, role: str) -> Iterator[str]:
    """Points that must meet on the repeat, found on the laid outlines again, and their phases compared."""
    cloth = plan.cloth
    for match in matches_of(draft, role) if cloth.repeat_length or cloth.repeat_width else ():
        found: dict[str, list[Point]] = {"right": [], "left": []}
        for end in set(match.ends):
            piece = draft.piece(end.piece)
            for placed in (row for row in plan.placed if row.piece == piece.name):
                for hand, point in _carried(placed, piece, Point(*end.point), cloth):
                    found[hand].append(point)
        groups = {f"{match.name}, {hand}": points for hand, points in found.items()}
        if match.at_centre:
            groups = {match.name: found["right"] + found["left"]}
        for name, points in groups.items():
            if name not in plan.unmatched:
                yield from _apart_on_repeat(name, [point.x for point in points], cloth.repeat_length)
            across = match.across and not cloth.folded and f"{name}, across" not in plan.unmatched
            if across:
                yield from _apart_on_repeat(name, [point.y for point in points], cloth.repeat_width)


def _apart_on_repeat(name: str, at: list[float], step: float) -> Iterator[str]:
    for other in at[1:] if step else ():
        rest = (other - at[0]) % step
        if min(rest, step - rest) > PHASE_LIMIT:
            yield f"{name} steps by {min(rest, step - rest):.2f} mm"


def _carried(placed: Placed, piece: Piece, point: Point, cloth: Cloth) -> Iterator[tuple[str, Point]]:
    """Where a point of the pattern lies on the cloth, for each of the wearer's sides that the piece makes."""
    whole = placed.layer == "single" and piece.on_fold
    shape = _whole(piece) if whole else Polygon(piece.cut_line)
    hand = min(_hands(placed, piece, cloth), key=lambda hand: hand != (-1 if placed.mirrored else 1))
    laid = Polygon(placed.outline).bounds
    for end in (0, 180):
        way = end - _grain(piece)
        if _apart(_turned(shape, way, hand), Polygon(placed.outline)) > AREA_LIMIT:
            continue
        low = _turned(shape, way, hand).bounds
        points = [point, _over_fold(point, piece)] if whole else [point]
        for number, drawn in enumerate(points):
            turned = _turned(drawn, way, hand)
            at = Point(turned.x + laid[0] - low[0], turned.y + laid[1] - low[1])
            both = placed.layer != "single"
            sides = ("right", "left") if both else ("right" if (number == 0) == (hand == 1) else "left",)
            for side in sides:
                yield side, at
        return


def _over_fold(point: Point, piece: Piece) -> Point:
    (fold, *_) = [edge for edge in piece.edges if edge.kind is EdgeKind.FOLD]
    (x0, y0), (x1, y1) = fold.path.start, fold.path.end
    angle = degrees(atan2(y1 - y0, x1 - x0))
    flat = affinity.rotate(point, -angle, origin=(x0, y0))
    mirrored = affinity.scale(flat, 1, -1, origin=(x0, y0))
    return affinity.rotate(mirrored, angle, origin=(x0, y0))
