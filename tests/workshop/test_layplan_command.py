from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from drafting import make_draft
from drafting.body import Body
from drafting.layplan import LayPlan, items_for, items_together, read_cloth, read_items, verify
from drafting.output.contract import read_contract, to_contract
from tests.drafting.layplan.sample import BODY, draft

ROOT = Path(__file__).resolve().parents[2]
SQUARE = {"items": [{"id": 1, "demand": 4, "polygon": [[0, 0], [50, 0], [50, 50], [0, 50]]}]}


def written(folder: Path, name: str, data: object) -> str:
    path = folder / name
    path.write_text(json.dumps(data))
    return str(path)


def test_layplan_lays_a_draft_and_draws_it(tmp_path: Path) -> None:
    cloth = {"cloth": "shell", "width": 1140, "folded": True}
    given = json.loads(json.dumps(to_contract(draft())))
    out = tmp_path / "out"

    call_command(
        "layplan",
        written(tmp_path, "draft.json", given),
        cloth=written(tmp_path, "cloth.json", cloth),
        seconds="1",
        out=str(out),
    )
    plan = LayPlan.read_contract(json.loads((out / "layplan.json").read_text()))

    items = items_for(read_contract(given), "shell", read_cloth(cloth))
    assert verify(plan, items) == ()
    assert sorted(path.name for path in out.iterdir()) == ["layplan.json", "layplan.svg"]
    assert (out / "layplan.svg").read_text().startswith("<svg")


def test_layplan_writes_the_files_asked_for_and_matches_what_is_named(tmp_path: Path) -> None:
    blouse = make_draft("shirt-blouse", Body.of(BODY))
    given = json.loads(json.dumps(to_contract(blouse)))
    cloth = {"cloth": "shell", "width": 1500, "repeat_length": 80}
    out = tmp_path / "out"

    call_command(
        "layplan",
        written(tmp_path, "draft.json", given),
        cloth=written(tmp_path, "cloth.json", cloth),
        match=["side: front to back"],
        kinds="json,dxf,pdf",
        seconds="0.3",
        out=str(out),
    )
    plan = LayPlan.read_contract(json.loads((out / "layplan.json").read_text()))

    assert plan.matched == ("side: front to back, right", "side: front to back, left")
    assert sorted(path.name for path in out.iterdir()) == ["layplan.dxf", "layplan.json", "layplan.pdf"]
    assert (out / "layplan.pdf").read_bytes().startswith(b"%PDF")


def test_layplan_refuses_a_file_that_it_does_not_write(tmp_path: Path) -> None:
    with pytest.raises(CommandError, match=r"^as: png is not one of json, svg, pdf, dxf"):
        call_command(
            "layplan",
            items=written(tmp_path, "items.json", SQUARE),
            width="100",
            kinds="png",
            out=str(tmp_path),
        )


def test_layplan_lays_two_garments_together(tmp_path: Path) -> None:
    """How much that saves depends on the time given, so it is not asserted."""
    cloth = {"cloth": "shell", "width": 1140}
    given = json.loads(json.dumps(to_contract(draft())))
    paths = [written(tmp_path, name, given) for name in ("one.json", "two.json")]
    out = tmp_path / "out"

    call_command("layplan", *paths, cloth=written(tmp_path, "cloth.json", cloth), seconds="1", out=str(out))
    plan = LayPlan.read_contract(json.loads((out / "layplan.json").read_text()))

    read = read_contract(given)
    items = items_for(read, "shell", read_cloth(cloth))
    assert verify(plan, items_together([read, read], "shell", read_cloth(cloth))) == ()
    assert sorted((placed.piece, placed.copy) for placed in plan.placed) == sorted(
        (f"{number} {item.name}", item.copy) for item in items for number in (1, 2)
    )


def test_layplan_lays_bare_polygons(tmp_path: Path) -> None:
    call_command(
        "layplan",
        items=written(tmp_path, "items.json", SQUARE),
        width="100",
        rotations="0,90",
        seconds="1",
        out=str(tmp_path / "out"),
    )
    data = json.loads((tmp_path / "out" / "layplan.json").read_text())

    assert verify(LayPlan.read_contract(data), read_items(SQUARE), (0.0, 90.0)) == ()
    assert data["usable_width"] == 100
    assert data["length"] == pytest.approx(100, abs=0.1)
    assert {placed["piece"] for placed in data["placed"]} == {"1"}


@pytest.mark.parametrize(
    ("options", "field"),
    [
        ({"width": "0"}, "width"),
        ({"width": "nan"}, "width"),
        ({"width": "wide"}, "width"),
        ({"width": "40"}, "width"),
        ({"width": "100", "rotations": "0,x"}, "rotations"),
        ({"width": "100", "seconds": "-1"}, "seconds"),
        ({"width": "100", "seconds": "inf"}, "seconds"),
        ({"width": "100", "seed": "1.5"}, "seed"),
        ({"width": None}, "width"),
    ],
)
def test_layplan_refuses_bad_values_and_writes_nothing(
    tmp_path: Path, options: dict[str, str], field: str
) -> None:
    out = tmp_path / "out"

    with pytest.raises(CommandError, match=rf"^{field}: ") as refused:
        call_command("layplan", items=written(tmp_path, "items.json", SQUARE), out=str(out), **options)

    assert refused.value.returncode == 2
    assert "\n" not in str(refused.value)
    assert not out.exists()


@pytest.mark.parametrize(
    ("cloth", "field"),
    [({"cloth": "shell"}, "width"), ({"cloth": "felt", "width": 900}, "items"), ([], "cloth")],
)
def test_layplan_refuses_a_cloth_that_is_none(tmp_path: Path, cloth: object, field: str) -> None:
    with pytest.raises(CommandError, match=rf"^{field}: "):
        call_command(
            "layplan",
            written(tmp_path, "draft.json", to_contract(draft())),
            cloth=written(tmp_path, "cloth.json", cloth),
            out=str(tmp_path / "out"),
        )


def test_layplan_exits_with_2_and_one_line(tmp_path: Path) -> None:
    (tmp_path / "items.json").write_text('{"items": [')
    ended = subprocess.run(
        [
            *(sys.executable, "manage.py", "layplan", "--items", str(tmp_path / "items.json")),
            *("--width", "100", "--out", str(tmp_path / "out")),
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert ended.returncode == 2
    assert ended.stderr.count("\n") == 1
    assert "items: " in ended.stderr
    assert not (tmp_path / "out").exists()
