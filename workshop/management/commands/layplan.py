"""``manage.py layplan``: lay a draft, or bare polygons, on a cloth, and write the plan and its picture."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from collections.abc import Callable
from math import isfinite
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from drafting.errors import BadCloth, DraftingError
from drafting.layplan import (
    Cloth,
    LayItem,
    LayPlan,
    items_for,
    items_together,
    plan_lay,
    read_cloth,
    read_items,
)
from drafting.layplan.files import lay_dxf, lay_pdf
from drafting.layplan.picture import lay_svg
from drafting.output.contract import read_contract
from drafting.units import Unit


class Command(BaseCommand):
    help = "Lay the pieces of a draft, or of several, on a cloth; write layplan.json, layplan.svg and more."
    requires_system_checks = ()  # it reads files and writes files, and touches neither pages nor database

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "draft",
            nargs="*",
            metavar="DRAFT.json",
            help="a draft written by the draft command; several are laid together",
        )
        parser.add_argument("--cloth", metavar="CLOTH.json", help="the cloth to lay it on")
        parser.add_argument("--items", metavar="ITEMS.json", help="bare polygons in place of a draft")
        parser.add_argument("--width", help="width of the strip for bare polygons, mm")
        parser.add_argument("--rotations", default="0,180", help="turns allowed for bare polygons, degrees")
        parser.add_argument("--seconds", default="5", help="time to use (default 5)")
        parser.add_argument("--seed", default="0", help="of the search (default 0)")
        parser.add_argument(
            "--unit", default="mm", choices=[unit.value for unit in Unit], help="of the picture"
        )
        parser.add_argument(
            "--match",
            action="append",
            metavar="NAME",
            help="of the matches on a repeat only these, each by its name; all where none is named",
        )
        parser.add_argument(
            "--as", dest="kinds", default="json,svg", help="of json,svg,pdf,dxf (default json,svg)"
        )
        parser.add_argument("--out", required=True, metavar="DIR", help="folder to write into")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            kinds = _kinds(options["kinds"])
            plan = _plan(options)
            unit = Unit(options["unit"])
            files = {f"layplan.{kind}": WRITERS[kind](plan, unit) for kind in kinds}
            _write(Path(options["out"]), files)
        except DraftingError as refusal:
            raise CommandError(_one_line(refusal), returncode=2) from None
        self.stdout.write(
            f"{plan.length:.0f} mm long, buy {plan.buy_length:.0f} mm, {plan.utilisation:.1%} used, "
            f"{plan.seconds:.1f} s"
        )


def _json(plan: LayPlan) -> bytes:
    return (json.dumps(plan.to_contract(), indent=1, allow_nan=False) + "\n").encode()


WRITERS: dict[str, Callable[[LayPlan, Unit], bytes]] = {
    "json": lambda plan, unit: _json(plan),
    "svg": lambda plan, unit: lay_svg(plan, unit=unit).encode(),
    "pdf": lambda plan, unit: lay_pdf(plan, unit=unit),
    "dxf": lambda plan, unit: lay_dxf(plan),
}


def _kinds(text: str) -> list[str]:
    kinds = list(dict.fromkeys(kind.strip() for kind in text.split(",")))
    for kind in kinds:
        if kind not in WRITERS:
            raise BadCloth(f"as: {kind} is not one of {', '.join(WRITERS)}.", field="as")
    return kinds


def _plan(options: dict[str, Any]) -> LayPlan:
    seconds, seed = _number(options["seconds"], "seconds"), _whole(options["seed"], "seed")
    items, cloth, rotations = _bare(options) if options["items"] else _of_draft(options)
    return plan_lay(items, cloth, seconds=seconds, seed=seed, rotations=rotations)


def _of_draft(options: dict[str, Any]) -> tuple[list[LayItem], Cloth, None]:
    if not options["draft"] or not options["cloth"]:
        raise BadCloth("draft: give DRAFT.json and --cloth CLOTH.json, or --items ITEMS.json and --width.")
    cloth = read_cloth(_read_json(options["cloth"], "cloth"))
    drafts = [read_contract(_read_json(path, "draft")) for path in options["draft"]]
    if len(drafts) > 1:
        return items_together(drafts, cloth.name, cloth, options["match"]), cloth, None
    return items_for(drafts[0], cloth.name, cloth, options["match"]), cloth, None


def _bare(options: dict[str, Any]) -> tuple[list[LayItem], Cloth, tuple[float, ...]]:
    if options["draft"] or options["cloth"]:
        raise BadCloth("items: give either --items with --width, or a draft with --cloth, not both.")
    if options["width"] is None:
        raise BadCloth("width: give the width of the strip with --width.")
    # Bare polygons are laid edge to edge, as the literature's problems are.
    cloth = Cloth("items", _number(options["width"], "width"), selvedge=0.0, gap=0.0)
    turns = [_number(turn, "rotations") % 360 for turn in options["rotations"].split(",")]
    return read_items(_read_json(options["items"], "items")), cloth, tuple(dict.fromkeys(turns))


def _read_json(path: str, field: str) -> Any:
    try:
        return json.loads(Path(path).read_text(encoding="utf-8"))
    except OSError as failure:
        raise BadCloth(f"{field}: cannot read {path}: {failure.strerror}.", field=field) from None
    except (ValueError, RecursionError) as failure:
        raise BadCloth(f"{field}: {path} is not JSON: {failure}.", field=field) from None


def _write(folder: Path, files: dict[str, bytes]) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, data in files.items():
            (folder / name).write_bytes(data)
    except OSError as failure:
        raise BadCloth(f"out: cannot write to {folder}: {failure.strerror}.", field="out") from None


def _number(text: str, field: str) -> float:
    try:
        value = float(text)
    except ValueError:
        raise BadCloth(f"{field}: {text} is not a number.", field=field) from None
    if not isfinite(value):
        raise BadCloth(f"{field}: must be finite.", field=field)
    return value


def _whole(text: str, field: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise BadCloth(f"{field}: {text} is not a whole number.", field=field) from None


def _one_line(refusal: DraftingError) -> str:
    """The message, begun with the field at fault."""
    message = " ".join(str(refusal).split())
    field = getattr(refusal, "field", "")
    return message if not field or message.startswith(field) else f"{field}: {message}"
