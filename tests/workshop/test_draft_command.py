"""The draft command as it is run: files written, bad input told in one line."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from drafting.output.contract import read_contract
from workshop.management.commands.draft import Refused

STYLE = "notched-collar-dress"
ROOT = Path(__file__).parents[2]
WOMAN = {"bust_girth": 89, "waist_girth": "72,5", "hip_girth": "97 cm", "stature": "1650 mm"}


def body_file(
    folder: Path, measurements: object = WOMAN, unit: object = "cm", name: str = "body.json"
) -> Path:
    path = folder / name
    path.write_text(json.dumps({"unit": unit, "measurements": measurements}), encoding="utf-8")
    return path


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_draft_writes_the_contract(tmp_path: Path) -> None:
    out = tmp_path / "new" / "out"

    call_command("draft", STYLE, body=str(body_file(tmp_path)), out=str(out))

    assert names(out) == ["draft.json"]
    assert names(tmp_path / "new") == ["out"]
    data = json.loads((out / "draft.json").read_text(encoding="utf-8"))
    assert (data["contract"], data["style"], data["unit"]) == (1, STYLE, "mm")
    assert data["body"]["waist_girth"] == {"value": 725.0, "given": True, "error": None}
    assert data["body"]["arm_length"]["given"] is False
    assert [check["name"] for check in data["checks"] if not check["ok"]] == []
    assert read_contract(data).style == STYLE


def test_draft_writes_the_same_bytes_again(tmp_path: Path) -> None:
    for out in ("one", "two"):
        call_command("draft", STYLE, body=str(body_file(tmp_path)), out=str(tmp_path / out))

    assert (tmp_path / "one/draft.json").read_bytes() == (tmp_path / "two/draft.json").read_bytes()


def test_draft_reads_fractions_of_an_inch(tmp_path: Path) -> None:
    inches = {"bust_girth": "35 1/4", "waist_girth": "28¾", "hip_girth": 38, "stature": '65"'}

    call_command("draft", STYLE, body=str(body_file(tmp_path, inches, "in")), out=str(tmp_path / "out"))

    data = json.loads((tmp_path / "out/draft.json").read_text(encoding="utf-8"))
    assert data["body"]["bust_girth"]["value"] == pytest.approx(895.35)
    assert data["body"]["waist_girth"]["value"] == pytest.approx(730.25)


def test_draft_takes_a_file_of_bodies_and_goes_on_after_a_refusal(tmp_path: Path) -> None:
    path = tmp_path / "bodies.jsonl"
    good = json.dumps({"unit": "cm", "measurements": WOMAN})
    lacking = json.dumps({"unit": "cm", "measurements": {"bust_girth": 89}})
    path.write_text("\n".join([good, lacking, "not JSON", good, ""]), encoding="utf-8")

    call_command("draft", STYLE, body=str(path), out=str(tmp_path / "out"))

    assert names(tmp_path / "out") == ["1", "2", "3", "4"]
    assert [names(tmp_path / "out" / str(i)) for i in (1, 2, 3, 4)] == [
        ["draft.json"],
        ["refused.txt"],
        ["refused.txt"],
        ["draft.json"],
    ]
    reason = (tmp_path / "out/2/refused.txt").read_text(encoding="utf-8")
    assert reason.startswith("stature: stature is missing")
    assert reason.count("\n") == 1


def test_draft_leaves_no_older_file_of_a_line(tmp_path: Path) -> None:
    path = tmp_path / "bodies.jsonl"
    for measurements in (WOMAN, {"bust_girth": 89}):
        path.write_text(json.dumps({"unit": "cm", "measurements": measurements}), encoding="utf-8")
        call_command("draft", STYLE, body=str(path), out=str(tmp_path / "out"))

    assert names(tmp_path / "out/1") == ["refused.txt"]


BAD: list[tuple[dict[str, Any], str]] = [
    ({"style": "ball-gown"}, "style: "),
    ({"style": None}, "style: is missing"),
    ({"out": None}, "out: is missing"),
    ({"body": None}, "body: is missing"),
    ({"body": "missing.json"}, "body: "),
    ({"formats": "json,png"}, "as: 'png' is not one of"),
    ({"choose": ["length"]}, "choose: 'length' is not NAME=VALUE"),
    ({"choose": ["colour=red"]}, "colour: "),
    ({"house": ["no_such_rule=1"]}, "no_such_rule: "),
    ({"house": ["collar_slant=wide"]}, "collar_slant: "),
    ({"house": ["collar_slant=-1"]}, "collar_slant: "),
    ({"measurements": {"bust_girth": 89}}, "stature: stature is missing"),
    ({"measurements": {}}, "measurements: "),
    ({"measurements": [1]}, "measurements: "),
    ({"measurements": {**WOMAN, "bust_girth": "wide"}}, "bust_girth: "),
    ({"measurements": {**WOMAN, "bust_girth": -89}}, "bust_girth: "),
    ({"measurements": {**WOMAN, "bust_girth": float("nan")}}, "bust_girth: "),
    ({"measurements": {**WOMAN, "bust_girth": 8900}}, "bust_girth: "),
    ({"measurements": {**WOMAN, "tail": 30}}, "tail: "),
    ({"unit": "ell"}, "unit: unit must be one of mm, cm, in"),
]


@pytest.mark.parametrize(("change", "words"), BAD)
def test_draft_refuses_bad_input_and_writes_nothing(
    change: dict[str, Any], words: str, tmp_path: Path
) -> None:
    body = body_file(tmp_path, change.pop("measurements", WOMAN), change.pop("unit", "cm"))
    options = {"style": STYLE, "body": str(body), "out": str(tmp_path / "a/b"), **change}

    with pytest.raises(Refused) as refusal:
        call_command("draft", **{name: value for name, value in options.items() if value is not None})

    assert str(refusal.value).startswith(words)
    assert "\n" not in str(refusal.value)
    assert refusal.value.returncode == 2
    assert names(tmp_path) == ["body.json"]


def test_draft_refuses_a_file_in_place_of_the_folder(tmp_path: Path) -> None:
    body = body_file(tmp_path)

    with pytest.raises(Refused, match="is not a folder"):
        call_command("draft", STYLE, body=str(body), out=str(body))


def test_draft_lists_the_styles(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("draft", list=True, formats="json")

    listed = json.loads(capsys.readouterr().out)
    style = next(style for style in listed["styles"] if style["name"] == STYLE)
    assert style["choices"]
    assert style["needs"]


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "manage.py", "draft", *arguments],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("arguments", [[STYLE], [STYLE, "--nonsense"], [STYLE, "--out"]])
def test_draft_says_what_is_wrong_in_one_line_on_standard_error(arguments: list[str]) -> None:
    done = run(*arguments)

    assert done.returncode == 2
    assert done.stdout == ""
    assert len(done.stderr.splitlines()) == 1


def test_draft_makes_every_kind_of_file(tmp_path: Path) -> None:
    done = run(
        STYLE,
        "--body",
        str(body_file(tmp_path)),
        "--out",
        str(tmp_path / "out"),
        "--as",
        "json,svg,pdf,dxf,hand",
    )

    assert (done.returncode, done.stderr) == (0, "")
    assert names(tmp_path / "out") == [
        "draft.json",
        "pattern-a0.pdf",
        "pattern-a4.pdf",
        "pattern-by-hand.pdf",
        "pattern-letter.pdf",
        "pattern-roll-36in.pdf",
        "pattern-sheet.pdf",
        "pattern.dxf",
        "pattern.svg",
    ]
