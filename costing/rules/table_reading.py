"""A table that somebody sends as a file: comma or semicolon, UTF-8 with or without its mark."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import StringIO

from costing.errors import CostingError
from costing.rules.tables import RUN_AS_FORMULA

MOST_BYTES = 1_000_000
MOST_ROWS = 2_000
_SEPARATORS = (",", ";")


class BadTable(CostingError):
    """The file as a whole cannot be read; the message says what would do."""


@dataclass(frozen=True, slots=True)
class Row:
    """A row by column. ``line`` is where it begins in the file, from 1, the header being the first."""

    line: int
    cells: Mapping[str, str]


def decoded(data: bytes) -> str:
    """Return the text of a file. Raises: BadTable where it is too large or not UTF-8."""
    if len(data) > MOST_BYTES:
        raise BadTable(f"The file is larger than {MOST_BYTES // 1000} kB; send it in parts.", field="file")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadTable("The file is not in UTF-8; save it as CSV UTF-8.", field="file") from None


def read_table(text: str, known: Sequence[str], needed: Sequence[str]) -> list[Row]:
    """Return the rows of a table by column; blank lines are left out, outer blanks of cells taken off.

    An apostrophe that ``csv_file`` put before a sign that begins a formula is taken off again.

    Args:
        text: the file, without a byte order mark.
        known: the columns that may be there, in any order.
        needed: those of them that must.

    Raises: BadTable for a header that lacks, repeats or does not know a column, a quote that is not closed,
    a row of another length, too many rows, or none.

    Source: RFC 4180, section 2 (read for its rules, from memory); semicolons are what spreadsheets write
    where the comma marks decimals (common practice, no source).
    """
    lines = _lines(text)
    if not lines:
        raise BadTable("The file is empty; its first line names the columns.", field="file")
    (_, header), *rows = lines
    names = [name.strip().lower() for name in header]
    _refuse_header(names, known, needed)
    if not rows:
        raise BadTable("The file has no rows below its header.", field="file")
    if len(rows) > MOST_ROWS:
        raise BadTable(f"The file has more than {MOST_ROWS} rows; send it in parts.", field="file")
    return [_row(line, names, cells) for line, cells in rows]


def _lines(text: str) -> list[tuple[int, list[str]]]:
    if "\x00" in text:
        raise BadTable("The file holds a NUL, so it is no table; save it as CSV UTF-8.", field="file")
    reader = csv.reader(StringIO(text, newline=""), delimiter=_separator(text), strict=True)
    found, line = [], 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                found.append((line, cells))
            line = reader.line_num + 1
    except csv.Error as fault:
        raise BadTable(f"Line {line} cannot be read: {fault}. Look at its quotes.", field="file") from None
    return found


def _separator(text: str) -> str:
    """The one that parts the header: names of columns hold neither."""
    header = next((line for line in text.splitlines() if line.strip()), "")
    return max(_SEPARATORS, key=header.count)


def _refuse_header(names: list[str], known: Sequence[str], needed: Sequence[str]) -> None:
    unknown = [name for name in names if name not in known]
    if unknown:
        raise BadTable(
            f"There is no column {unknown[0][:40]!r} here; there are: {', '.join(known)}.", field="file"
        )
    twice = [name for name in names if names.count(name) > 1]
    if twice:
        raise BadTable(f"The column {twice[0]} is there twice; leave one out.", field="file")
    lacking = [name for name in needed if name not in names]
    if lacking:
        raise BadTable(f"The column {lacking[0]} is missing.", field="file")


def _row(line: int, names: list[str], cells: list[str]) -> Row:
    if len(cells) != len(names):
        raise BadTable(
            f"Line {line} has {len(cells)} cells, the header {len(names)}; look at its quotes.",
            field="file",
        )
    return Row(line, {name: _plain(cell) for name, cell in zip(names, cells, strict=True)})


def _plain(cell: str) -> str:
    held = cell.startswith("'") and cell[1:].lstrip().startswith(RUN_AS_FORMULA)
    return (cell[1:] if held else cell).strip()
