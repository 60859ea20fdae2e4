"""A neck without a closure goes over the head: a baby's head is large, and its neck small."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.errors import BadChoice
from drafting.pattern import Draft
from drafting.styles.parts.necklines import HEAD_EASE, head_girth
from tests.drafting.styles.wearers import Choices, four

THIN = four(615.0, 361.0, 366.0, 374.0)
ROUND_ONE = four(740.0, 470.0, 465.0, 480.0)
SLIT = "slit: sew beside it, then cut along it"


def drafted(body: dict[str, float], choices: Choices) -> Draft:
    return make_draft("play-dress", Body.of(body), choices)


def slit_of(draft: Draft) -> float:
    return sum(mark.path.length for mark in draft.piece("back").marks if mark.name == SLIT)


def neckline_of(draft: Draft) -> float:
    return 2 * sum(
        edge.length for piece in ("front", "back") for edge in draft.piece(piece).edges if edge.name == "neck"
    )


def test_back_opens_in_a_slit_where_the_neck_does_not_pass_over_the_head() -> None:
    draft = drafted(THIN, {})

    assert draft.passed
    assert neckline_of(draft) < head_girth(615.0) + HEAD_EASE
    assert neckline_of(draft) + 2 * slit_of(draft) >= head_girth(615.0) + HEAD_EASE
    assert [need.kind for need in draft.notions] == ["hook"]
    assert [note for note in draft.notes if "narrower than the head" in note] != []


def test_neck_that_passes_over_the_head_is_left_whole() -> None:
    draft = drafted(ROUND_ONE, {})

    assert neckline_of(draft) >= head_girth(740.0) + HEAD_EASE
    assert (slit_of(draft), draft.notions) == (0, ())


@pytest.mark.parametrize(
    ("choices", "field"),
    [({"neck_finish": "bias strip"}, "closure"), ({"neck_width": 4.0}, "neck_width")],
)
def test_refusal_points_at_what_helps(choices: Choices, field: str) -> None:
    with pytest.raises(BadChoice, match="does not pass over a head") as refusal:
        drafted(THIN, choices)

    assert refusal.value.field == field
    assert "closure" in str(refusal.value)
    assert drafted(THIN, {**choices, "closure": "centre-back zip"}).passed
