"""What a draft has cut of a cloth, with the points at which it must match on a stripe or a check."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from math import radians, sin

from drafting.errors import BadCloth
from drafting.geometry import Point
from drafting.layplan.cloth import Cloth
from drafting.layplan.frames import STRAIGHT, fold_degrees, fold_level, grain_degrees, on_grain
from drafting.layplan.items import Layer, LayItem, Pin, plain_items
from drafting.layplan.matching import Match, matches_of
from drafting.layplan.outline import turned
from drafting.pattern import Draft, Piece

RIGHT, LEFT = "right", "left"


def items_for(
    draft: Draft, cloth_role: str, cloth: Cloth, match: Collection[str] | None = None
) -> list[LayItem]:
    """Everything that a draft has cut of one cloth, as it is laid on it (``items.plain_items``).

    On cloth with a repeat the items are pinned where they must match; ``match`` names the matches wanted
    (``matching.matches_of``), all where it is not given.

    Raises:
        BadCloth: a piece that cannot be laid, or a name that is no match of this draft.
    """
    return _pinned(plain_items(draft, cloth_role, cloth), draft, cloth_role, cloth, match)


def items_together(
    drafts: Sequence[Draft], cloth_role: str, cloth: Cloth, match: Collection[str] | None = None
) -> list[LayItem]:
    """What several garments have cut of one cloth, as for a wedding party.

    Each piece's name, and each match, begins with the number of its garment, from 1: ``2 sleeve``.
    Garments are not matched to each other.

    Raises: BadCloth as ``items_for``.
    """
    return [
        replace(
            item,
            name=f"{number} {item.name}",
            pins=tuple(replace(pin, name=f"{number} {pin.name}") for pin in item.pins),
        )
        for number, draft in enumerate(drafts, start=1)
        for item in items_for(draft, cloth_role, cloth, match)
    ]


def _pinned(
    items: Sequence[LayItem],
    draft: Draft,
    cloth_role: str,
    cloth: Cloth,
    names: Collection[str] | None,
) -> list[LayItem]:
    """The items with their pins. Across the cloth only open cloth is matched: folded, its layers mirror."""
    if not (cloth.repeat_length or cloth.repeat_width):
        return list(items)
    matches = _wanted(matches_of(draft, cloth_role), names)
    pieces = {piece.name: piece for piece in draft.pieces}
    pins = [list(_pins_on(item, pieces[item.name], matches, cloth)) for item in items]
    # A pin without its like on another item holds nothing.
    shared = Counter(name for row in pins for name in {pin.name for pin in row})
    return [
        replace(item, pins=tuple(pin for pin in row if shared[pin.name] > 1))
        for item, row in zip(items, pins, strict=True)
    ]


def _wanted(matches: Sequence[Match], names: Collection[str] | None) -> list[Match]:
    if names is None:
        return list(matches)
    known = {match.name for match in matches}
    for name in names:
        if name not in known:
            listed = "; ".join(sorted(known)) or "none"
            raise BadCloth(f"match: {name} is no match of this draft; there are: {listed}.", field="match")
    return [match for match in matches if match.name in names]


def _pins_on(item: LayItem, piece: Piece, matches: Sequence[Match], cloth: Cloth) -> Iterator[Pin]:
    if _leaves_grain(piece):
        return
    for match in matches:
        across = match.across and not cloth.folded
        for end in {end for end in match.ends if end.piece == item.name}:
            for hand in _hands(item, piece):
                x, y = _carried(item, piece, end.point, hand)
                yield Pin(match.name if match.at_centre else f"{match.name}, {hand}", x, y, across)


def _leaves_grain(piece: Piece) -> bool:
    """Whether it opens out about a fold that is not on the grain, as a collar may."""
    return piece.on_fold and abs(sin(radians(fold_degrees(piece) - grain_degrees(piece)))) >= STRAIGHT


def _hands(item: LayItem, piece: Piece) -> tuple[str, ...]:
    """Which sides of the wearer an item makes: two layers and a whole front make both."""
    if item.layer is not Layer.SINGLE or piece.on_fold:
        return RIGHT, LEFT
    return (LEFT,) if item.mirrored else (RIGHT,)


def _carried(item: LayItem, piece: Piece, point: Point, hand: str) -> tuple[float, float]:
    """Where a point of the pattern lies on its item, for the wearer's right (as drawn) or left."""
    angle = -grain_degrees(piece)
    outline = on_grain(piece)
    ((x, y),) = turned(((point.x, point.y),), angle)
    x -= min(x for x, _ in outline)
    low, high = min(y for _, y in outline), max(y for _, y in outline)
    if not piece.on_fold:
        return x, (high - y if item.mirrored else y - low)
    level = fold_level(piece, angle)
    depth = max(high - level, level - low)
    if item.layer is Layer.FOLD:
        return x, abs(y - level)
    return x, depth + (y - level if hand == RIGHT else level - y)
