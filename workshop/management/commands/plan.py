"""``manage.py plan``: a problem file in, a plan file out, nothing of the database."""

from __future__ import annotations

import json
import math
import time
from argparse import ArgumentParser
from dataclasses import replace
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from workshop.planning.rules.contract import plan_to_contract, read_problem
from workshop.planning.rules.errors import PlanningError
from workshop.planning.rules.solver import make_plan

BAD_INPUT = 2
LONGEST_SEARCH_SECONDS = 86_400
DEFAULT_SECONDS = "10"


class Command(BaseCommand):
    help = "Plan the tasks of a problem file (JSON) and write the plan beside what no plan can beat."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--problem", required=True, metavar="PROBLEM.json")
        parser.add_argument("--seconds", default=DEFAULT_SECONDS, help="longest search (default: 10)")
        parser.add_argument("--seed", default="0", help="of the search (default: 0)")
        parser.add_argument("--out", required=True, metavar="PLAN.json")

    def handle(self, *args: object, **options: Any) -> None:
        began = time.perf_counter()
        seconds = _seconds(options["seconds"])
        seed = _seed(options["seed"])
        out = _out(options["out"])
        data = _read_json(Path(options["problem"]))
        try:
            plan = make_plan(read_problem(data), seconds=seconds, seed=seed)
        except PlanningError as refusal:
            raise CommandError(_one_line(str(refusal)), returncode=BAD_INPUT) from None
        _write(out, plan_to_contract(replace(plan, seconds=time.perf_counter() - began)))


def _seconds(text: str) -> float:
    try:
        seconds = float(text)
    except ValueError:
        seconds = math.nan
    if not 0 <= seconds <= LONGEST_SEARCH_SECONDS:
        raise CommandError(
            _one_line(f"seconds: must be a number from 0 to {LONGEST_SEARCH_SECONDS}, not {text!r}"),
            returncode=BAD_INPUT,
        )
    return seconds


def _seed(text: str) -> int:
    try:
        seed = int(text)
    except ValueError:
        seed = -1
    if not 0 <= seed < 2**31:
        raise CommandError(
            _one_line(f"seed: must be a whole number from 0 to 2147483647, not {text!r}"),
            returncode=BAD_INPUT,
        )
    return seed


def _out(text: str) -> Path:
    out = Path(text)
    if not out.parent.is_dir():
        raise CommandError(f"out: there is no folder {out.parent}; make it first", returncode=BAD_INPUT)
    if out.is_dir():
        raise CommandError(f"out: {out} is a folder; name a file in it", returncode=BAD_INPUT)
    return out


def _read_json(path: Path) -> object:
    try:
        return json.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise CommandError(
            f"problem: {path} cannot be read: {error.strerror}", returncode=BAD_INPUT
        ) from None
    except (ValueError, RecursionError) as error:
        reason = _one_line(str(error))
        raise CommandError(
            f"problem: {path} is not JSON text in UTF-8: {reason}", returncode=BAD_INPUT
        ) from None


def _write(out: Path, data: dict[str, Any]) -> None:
    """Write beside the file first, so that a plan is there whole or not at all."""
    beside = out.with_name(out.name + ".part")
    try:
        beside.write_text(json.dumps(data) + "\n", encoding="utf-8")
        beside.replace(out)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise CommandError(f"out: {out} cannot be written: {error.strerror}", returncode=BAD_INPUT) from None


def _one_line(text: str) -> str:
    return " ".join(text.split())
