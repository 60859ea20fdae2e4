"""A draft written as its contract reads back the same; a broken file is refused at its place."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from drafting.errors import CannotDraft
from drafting.output.contract import contract_text, read_contract, to_contract
from drafting.truing import check
from tests.drafting.small_draft import small_draft


def checked_draft() -> Any:
    draft = small_draft()
    return replace(draft, checks=check(draft), cautions=("Mind the iron.",), notes=("Sew the darts.",))


def test_to_contract_has_the_keys_that_the_contract_names() -> None:
    data = to_contract(checked_draft())

    assert {
        "contract", "style", "choices", "engine", "unit", "body", "pieces", "seams", "levels", "checks",
        "cautions",
    } <= set(data)  # fmt: skip
    assert (data["contract"], data["unit"]) == (1, "mm")
    assert data["body"]["bust_girth"] == {"value": 760.0, "given": True, "error": None}
    assert data["body"]["wrist_girth"]["given"] is False
    piece = data["pieces"][0]
    assert piece["cut"] == [{"cloth": "shell", "count": 2, "mirrored": True, "on_fold": False}]
    assert piece["grain"] == [[50.0, 20.0], [50.0, 320.0]]
    assert piece["notches"][0] == {"edge": "armhole", "at": 60.0, "count": 1}
    assert piece["internal"][0]["name"] == "roll line"
    assert piece["edges"][0]["line"] == [[-20.0, 0.0], [200.0, 0.0]]
    assert data["levels"]["bust"]["chords"][0] == {
        "piece": "front",
        "from": [0, 150],
        "to": [200, 150],
        "times": 2,
    }
    seam = next(seam for seam in data["seams"] if seam["name"] == "side")
    assert (seam["a"], seam["b"]) == ([["front", "side"]], [["back", "side"]])
    assert (seam["length_a"], seam["length_b"], seam["ease"]) == (182.5, 182.5, 0.0)


def test_to_contract_edges_run_once_around() -> None:
    for piece in to_contract(checked_draft())["pieces"]:
        edges = piece["edges"]
        for edge, after in zip(edges, [*edges[1:], edges[0]], strict=True):
            assert edge["line"][-1] == after["line"][0]


def test_read_contract_gives_the_draft_back() -> None:
    draft = checked_draft()

    back = read_contract(json.loads(contract_text(draft)))

    assert contract_text(back) == contract_text(draft)
    assert back.seams == draft.seams
    assert back.body == draft.body
    assert back.checks == draft.checks
    assert back.choices == draft.choices
    assert [piece.name for piece in back.pieces] == [piece.name for piece in draft.pieces]
    assert all(row.ok for row in check(back))


def test_contract_text_is_the_same_for_the_same_draft() -> None:
    draft = checked_draft()
    shuffled = replace(draft, choices=dict(reversed(draft.choices.items())))

    assert contract_text(checked_draft()) == contract_text(draft) == contract_text(shuffled)


def test_read_contract_needs_none_of_the_added_keys() -> None:
    data = to_contract(checked_draft())
    for key in (
        "continuations",
        "pleats",
        "darts",
        "roll_lines",
        "notions",
        "finished",
        "notes",
        "house",
        "age_years",
    ):
        del data[key]
    for seam in data["seams"]:
        for key in ("method", "times", "reverse_a", "reverse_b"):
            del seam[key]
    for piece in data["pieces"]:
        del piece["remarks"]
        for edge in piece["edges"]:
            del edge["end_corner"]

    draft = read_contract(data)

    assert draft.piece("front").edge("waist").length == 220.0


def without(*path: str | int) -> Callable[[Any], None]:
    def change(data: Any) -> None:
        for step in path[:-1]:
            data = data[step]
        del data[path[-1]]

    return change


def put(value: object, *path: str | int) -> Callable[[Any], None]:
    def change(data: Any) -> None:
        for step in path[:-1]:
            data = data[step]
        data[path[-1]] = value

    return change


@pytest.mark.parametrize(
    ("change", "field"),
    [
        (put(2, "contract"), "contract"),
        (without("contract"), "contract"),
        (without("pieces"), "pieces"),
        (put({}, "pieces"), "pieces"),
        (put(5, "style"), "style"),
        (without("pieces", 0, "name"), "pieces[0].name"),
        (put("zig", "pieces", 0, "edges", 1, "kind"), "pieces[0].edges[1].kind"),
        (put([[0, 0]], "pieces", 0, "edges", 1, "line"), "pieces[0].edges[1].line"),
        (put(float("nan"), "pieces", 0, "edges", 1, "line", 0, 1), "pieces[0].edges[1].line[0][1]"),
        (put([1, 2, 3], "pieces", 0, "edges", 1, "line", 0), "pieces[0].edges[1].line[0]"),
        (put(1e7, "pieces", 0, "cut_line", 0, 0), "pieces[0].cut_line[0]"),
        (put(10**400, "pieces", 0, "edges", 0, "allowance"), "pieces[0].edges[0].allowance"),
        (put(-1, "pieces", 0, "cut", 0, "count"), "pieces[0].cut[0].count"),
        (put("yes", "pieces", 0, "cut", 0, "mirrored"), "pieces[0].cut[0].mirrored"),
        (put("no such edge", "seams", 0, "a", 0, 1), "seams"),
        (put([["front"]], "seams", 0, "a"), "seams[0].a[0]"),
        (put([True, False], "seams", 0, "reverse_a"), "seams[0].reverse_a"),
        (put("no such edge", "pieces", 0, "notches", 0, "edge"), "pieces"),
        (put("no such piece", "levels", "bust", "chords", 0, "piece"), "levels"),
        (put("shoulder", "pieces", 0, "edges", 0, "name"), "pieces"),
        (without("body", "stature"), "body"),
        (put({"value": 1, "given": True}, "body", "tail"), "body.tail"),
        (put(["a"], "choices", "closure"), "choices.closure"),
    ],
)
def test_read_contract_refuses_a_broken_file_at_its_place(change: Callable[[Any], None], field: str) -> None:
    data = copy.deepcopy(to_contract(checked_draft()))
    change(data)

    with pytest.raises(CannotDraft) as refusal:
        read_contract(data)

    assert refusal.value.field == field


@pytest.mark.parametrize("data", [None, [], "draft", 5])
def test_read_contract_refuses_what_is_no_object(data: object) -> None:
    with pytest.raises(CannotDraft, match="must be a JSON object"):
        read_contract(data)


def test_read_contract_estimates_what_came_into_the_catalogue_later() -> None:
    draft = checked_draft()
    data = to_contract(draft)
    del data["body"]["body_rise"]

    body = read_contract(data).body

    assert list(body.measures) == list(draft.body.measures)
    assert body["body_rise"] == pytest.approx(draft.body["body_rise"])
    assert body.measure("body_rise").given is False
