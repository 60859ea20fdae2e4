"""The example of DEVELOPERS.md is run as it stands there: rule, detail, part and style make a sound draft."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from drafting.body import Body, size_of
from drafting.finishing import finish
from drafting.house import house_rules
from drafting.pattern import Draft
from drafting.styles.choices import ChoiceValue, read_all
from drafting.truing import check
from drafting.units import Unit

DEVELOPERS = Path(__file__).resolve().parents[2] / "DEVELOPERS.md"


@pytest.fixture(scope="module")
def example() -> dict[str, Any]:
    """All that the python blocks of the section define, run one after another."""
    section = DEVELOPERS.read_text(encoding="utf-8").split("### To add a style, a detail, a house rule")[1]
    blocks = re.findall(r"```python\n(.*?)```", section.split("\n### ")[0], re.DOTALL)
    assert len(blocks) == 4
    # Dataclasses look up the module that they are defined in.
    found: dict[str, Any] = {"__name__": __name__}
    for block in blocks:
        exec(compile(block, str(DEVELOPERS), "exec"), found)  # our own page
    return found


def drafted(example: dict[str, Any], body: Body, **choices: ChoiceValue) -> Draft:
    rule = example["LOOP_RULE"]
    house = {**house_rules(), rule.name: rule.default}
    style = example["STYLE"]
    return finish(style.recipe(body, read_all(style, choices, Unit.MM), house))


@pytest.mark.parametrize("size", ["child-98", "woman-92-168", "woman-128-160"])
def test_the_example_passes_every_check(example: dict[str, Any], size: str) -> None:
    draft = drafted(example, size_of(size).body())

    assert [row.name for row in check(draft) if not row.ok] == []
    assert draft.piece("hanging loop").edge("long edge left").length == pytest.approx(3 * 25.4)
    assert "hanging loop" in [seam.name for seam in draft.seams]


def test_the_example_without_its_loop_has_none(example: dict[str, Any]) -> None:
    draft = drafted(example, size_of("woman-92-168").body(), loop=False)

    assert "hanging loop" not in [piece.name for piece in draft.pieces]
