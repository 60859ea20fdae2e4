"""``manage.py draft``: a pattern from a file of measurements, without a database."""

from __future__ import annotations

import dataclasses
import json
import os
import shutil
import sys
import tempfile
from argparse import ArgumentParser
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NoReturn

from django.core.management.base import BaseCommand, CommandError

from drafting.body import Body
from drafting.errors import BadChoice, BadMeasurement, DraftingError
from drafting.output.body_file import read_body_text
from drafting.pattern import Draft
from drafting.units import Unit, parse_length

FORMATS = ("json", "svg", "pdf", "dxf", "hand")
BAD_INPUT = 2
REFUSED = "refused.txt"


class Refused(CommandError):
    """Bad input: one line on standard error, exit status 2, nothing written."""

    def __init__(self, message: str) -> None:
        super().__init__(" ".join(message.split()), returncode=BAD_INPUT)


class Command(BaseCommand):
    help = "Draft a style for a body (or for each line of a .jsonl of bodies) and write the pattern's files."
    requires_system_checks = ()
    requires_migrations_checks = False

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> Any:
        parser = super().create_parser(prog_name, subcommand, **kwargs)

        def error(message: str) -> NoReturn:
            if not getattr(parser, "called_from_command_line", False):
                raise Refused(message)
            sys.stderr.write(f"{subcommand}: {message}\n")
            sys.exit(BAD_INPUT)

        # The usage that argparse prints before its message would be a second line.
        setattr(parser, "error", error)  # noqa: B010  # mypy refuses a plain assignment to a method
        return parser

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("style", nargs="?", help="name of a style; see --list")
        parser.add_argument(
            "--list", action="store_true", help="print the styles, their choices and what each needs"
        )
        parser.add_argument("--body", help="BODY.json, or BODY.jsonl with one body a line")
        parser.add_argument(
            "--choose", action="append", default=[], metavar="NAME=VALUE", help="a choice of the style"
        )
        parser.add_argument("--house", action="append", default=[], metavar="NAME=VALUE", help="a house rule")
        parser.add_argument("--out", help="folder to write to")
        parser.add_argument("--as", dest="formats", default="", help=f"comma-separated: {', '.join(FORMATS)}")

    def handle(self, *args: Any, **options: Any) -> None:
        formats = _formats(options["formats"])
        if options["list"]:
            self.stdout.write(_styles_json() if "json" in formats else _styles_text())
            return
        for name in ("style", "body", "out"):
            if not options[name]:
                raise Refused(f"{name}: is missing")
        request = _Request(
            options["style"], _pairs("choose", options["choose"]), _pairs("house", options["house"])
        )
        _check_style(request.style)
        text = _read(options["body"])
        if options["body"].endswith(".jsonl"):
            lines = [line for line in text.split("\n") if line.strip()]
            if not lines:
                raise Refused("body: the file holds no body")
            _write(options["out"], lambda folder: _each(request, lines, formats, folder))
        else:
            _write(options["out"], lambda folder: _one(request, text, formats, folder))


@dataclasses.dataclass(frozen=True, slots=True)
class _Request:
    """The style with its choices and house rules as typed; their lengths are in the body's unit."""

    style: str
    choices: Mapping[str, str]
    house: Mapping[str, str]


def _formats(text: str) -> tuple[str, ...]:
    asked = tuple(word.strip() for word in text.split(",") if word.strip())
    for word in asked:
        if word not in FORMATS:
            raise Refused(f"as: {word!r} is not one of {', '.join(FORMATS)}")
    return asked


def _pairs(option: str, typed: list[str]) -> dict[str, str]:
    pairs = {}
    for text in typed:
        name, equals, value = text.partition("=")
        if not equals or not name.strip():
            raise Refused(f"{option}: {text!r} is not NAME=VALUE")
        pairs[name.strip()] = value.strip()
    return pairs


def _check_style(name: str) -> None:
    from drafting.styles import STYLES  # noqa: PLC0415  # --help need not load the recipes

    if name not in STYLES:
        raise Refused(f"style: there is no style {name!r}; there are {', '.join(STYLES)}")


def _read(name: str) -> str:
    try:
        return Path(name).read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as fault:
        reason = fault.strerror if isinstance(fault, OSError) and fault.strerror else "it is not UTF-8 text"
        raise Refused(f"body: {name} cannot be read: {reason}") from None


def _write(out: str, fill: Callable[[Path], None]) -> None:
    """Fill a folder beside ``out`` and move its files there once all are written."""
    target = Path(out)
    try:
        if target.exists() and not target.is_dir():
            raise Refused(f"out: {out} is not a folder")
        with tempfile.TemporaryDirectory(dir=_nearest_folder(target), prefix=".draft-") as made:
            fill(Path(made))
            _move(Path(made), target)
    except DraftingError as refusal:
        raise Refused(_named(refusal)) from None
    except OSError as fault:
        raise Refused(f"out: {out} cannot be written: {fault.strerror or fault}") from None


def _nearest_folder(target: Path) -> Path:
    """The closest folder above that exists already: a refusal must leave no new one behind."""
    return next(parent for parent in target.absolute().parents if parent.is_dir())


def _move(made: Path, target: Path) -> None:
    target.mkdir(parents=True, exist_ok=True)
    for entry in sorted(made.iterdir()):
        goal = target / entry.name
        if goal.is_dir():
            # An older result of the same line: none of its files may be left among the new ones.
            shutil.rmtree(goal)
        os.replace(entry, goal)


def _named(refusal: DraftingError) -> str:
    """The refusal in one line that begins with its field."""
    field = getattr(refusal, "field", "")
    return f"{field}: {refusal}" if field else str(refusal)


def _each(request: _Request, lines: list[str], formats: tuple[str, ...], folder: Path) -> None:
    for number, line in enumerate(lines, start=1):
        own = folder / str(number)
        own.mkdir()
        try:
            _one(request, line, formats, own)
        except BadChoice:
            # Not this body's fault: what was asked for is wrong for every line.
            raise
        except DraftingError as refusal:
            (own / REFUSED).write_text(" ".join(_named(refusal).split()) + "\n", encoding="utf-8")


def _one(request: _Request, text: str, formats: tuple[str, ...], folder: Path) -> None:
    body, unit = read_body_text(text)
    for name, content in _files(_drafted(request, body, unit), unit, formats).items():
        (folder / name).write_bytes(content)


def _drafted(request: _Request, body: Body, unit: Unit) -> Draft:
    from drafting import make_draft  # noqa: PLC0415  # --help need not load the recipes
    from drafting.styles import read_choices  # noqa: PLC0415

    choices = read_choices(request.style, request.choices, unit)
    return make_draft(request.style, body, choices, _house_values(request.house, unit))


def _house_values(typed: Mapping[str, str], unit: Unit) -> dict[str, float]:
    from drafting.house import HOUSE_RULES  # noqa: PLC0415

    values = {}
    for name, text in typed.items():
        rule = HOUSE_RULES.get(name)
        if rule is None:
            raise BadChoice(f"there is no house rule {name!r}", field=name)
        if rule.kind == "length":
            values[name] = _house_length(name, text, unit)
        else:
            values[name] = _plain_number(name, text)
    return values


def _house_length(name: str, text: str, unit: Unit) -> float:
    try:
        return parse_length(text, unit, field=name)
    except BadMeasurement as refusal:
        raise BadChoice(str(refusal), field=name) from None


def _plain_number(name: str, text: str) -> float:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise BadChoice(f"{text[:40]!r} is not a number", field=name) from None


def _files(draft: Draft, unit: Unit, formats: tuple[str, ...]) -> dict[str, bytes]:
    """The files by name; draft.json is always among them."""
    from drafting.output.contract import contract_text  # noqa: PLC0415
    from drafting.output.label import Label  # noqa: PLC0415

    title = _title(draft.style)
    # A draft made from a file belongs to nobody and no day: the same input gives the same files.
    label = Label(title, "", "", "")
    files = {"draft.json": contract_text(draft).encode()}
    if "svg" in formats:
        from drafting.output.svg import draft_svg  # noqa: PLC0415

        files["pattern.svg"] = draft_svg(draft, unit=unit, title=title).encode()
    if "pdf" in formats:
        from drafting.output.pdf import sheet_pdf, tiled_pdf, wide_pdf  # noqa: PLC0415

        files["pattern-sheet.pdf"] = sheet_pdf(draft, label)
        files["pattern-a4.pdf"] = tiled_pdf(draft, "A4", label)
        files["pattern-letter.pdf"] = tiled_pdf(draft, "Letter", label)
        files["pattern-a0.pdf"] = wide_pdf(draft, "A0", label)
        files["pattern-roll-36in.pdf"] = wide_pdf(draft, "36 in roll", label)
    if "dxf" in formats:
        from drafting.output.dxf import pattern_dxf  # noqa: PLC0415

        files["pattern.dxf"] = pattern_dxf(draft, label)
    if "hand" in formats:
        from drafting.output.hand.pdf import hand_pdf  # noqa: PLC0415

        files["pattern-by-hand.pdf"] = hand_pdf(draft, label, unit=unit)
    return files


def _title(style: str) -> str:
    from drafting.styles import STYLES  # noqa: PLC0415

    return STYLES[style].title


def _styles_json() -> str:
    from drafting.styles import STYLES  # noqa: PLC0415

    styles = [
        {
            "name": style.name,
            "title": style.title,
            "summary": style.summary,
            "choices": [_choice(choice) for choice in style.choices],
            "needs": list(style.needs),
        }
        for style in STYLES.values()
    ]
    return json.dumps({"contract": 1, "unit": "mm", "styles": styles}, ensure_ascii=False, indent=1)


def _choice(choice: Any) -> dict[str, Any]:
    row = dataclasses.asdict(choice)
    row["options"] = [{"value": value, "label": label} for value, label in choice.options]
    return row


def _styles_text() -> str:
    from drafting.styles import STYLES  # noqa: PLC0415

    lines = []
    for style in STYLES.values():
        lines += [style.name, f"  {style.title}: {style.summary}", f"  needs {', '.join(style.needs)}"]
        for choice in style.choices:
            known = "|".join(value for value, _ in choice.options)
            lines.append(
                f"  --choose {choice.name}={known or choice.kind.upper()}  {choice.title} ({choice.default})"
            )
    return "\n".join(lines)
