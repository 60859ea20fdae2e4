"""The pattern engine: from a body and a style's choices to a draft that can be cut and sewn.

Pure: no database, clock, file or unseeded randomness. The same inputs give the same draft, byte for byte.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import inf
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from drafting.body import Body
    from drafting.pattern import Draft

ENGINE = "4"
_NOTHING: Mapping[str, float] = MappingProxyType({})


def make_draft(
    style: str,
    body: Body,
    choices: Mapping[str, str | float | int | bool] = _NOTHING,
    house: Mapping[str, float] = _NOTHING,
) -> Draft:
    """Return a finished, checked draft of a style for a body.

    Args:
        style: a name of ``drafting.styles.STYLES``.
        body: the wearer.
        choices: of the style, lengths in mm (or text with its unit); what is missing takes its default.
        house: the workshop's own house rules; what is missing takes its default.

    A draft that fails a truing check is returned with that check: ``draft.passed`` says so.

    Raises:
        BadChoice: unknown style, choice or rule, or one out of its limits; ``field`` names it.
        CannotDraft: no sound pattern can be drawn from this body or these choices; ``field`` names the cause.
    """
    # The rooms below import this package's vocabulary: they are fetched only when a draft is made.
    from drafting.cautions import cautions  # noqa: PLC0415  # see above
    from drafting.finishing import finish  # noqa: PLC0415
    from drafting.house import house_rules  # noqa: PLC0415
    from drafting.styles import read_choices, style_of  # noqa: PLC0415
    from drafting.truing import check  # noqa: PLC0415

    recipe = style_of(style).recipe
    drawn = recipe(body, read_choices(style, choices), house_rules(house))
    _refuse_garbage(drawn)
    finished = finish(replace(drawn, engine=ENGINE))
    return replace(finished, checks=check(finished), cautions=cautions(finished))


def _refuse_garbage(draft: Draft) -> None:
    """Raises: CannotDraft where a piece has an outline that is no simple ring of positive area."""
    from drafting.errors import CannotDraft  # noqa: PLC0415  # only when a draft is made
    from drafting.geometry.rings import as_ring  # noqa: PLC0415

    for piece in draft.pieces:
        area = sum(edge.path.swept for edge in piece.edges)
        # A point that is no number leaves no area, either.
        if not (0 < area < inf and as_ring(piece.ring).is_simple):
            raise CannotDraft(
                f"the {piece.name} would cross itself with these measurements and choices; "
                "measure again or choose smaller widths",
                field="choices",
            )
