"""A table as a file that any spreadsheet or bookkeeping program reads."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from io import StringIO

Cell = str | int | Decimal | date | None

RUN_AS_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def csv_file(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """Return a table as comma-separated values: UTF-8, a header, lines that end in CRLF.

    Days are written as ISO 8601 (2026-11-25), amounts with a point and without marks for thousands, nothing
    as an empty cell. A text that a spreadsheet would run as a formula gets an apostrophe before it.

    Raises: ValueError where a row is not as long as the header.

    Source: RFC 4180, section 2 (read for its rules, from memory); formula guard after OWASP, CSV Injection
    (from memory).
    """
    text = StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([_written(cell) for cell in header])
    for row in rows:
        writer.writerow([_written(cell) for _, cell in zip(header, row, strict=True)])
    return text.getvalue().encode()


def _written(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, Decimal):
        return f"{cell:f}"
    if isinstance(cell, date):
        return cell.isoformat()
    return _harmless(cell) if isinstance(cell, str) else str(cell)


def _harmless(text: str) -> str:
    """The text, held from being run. Programs look past blanks for the sign that begins a formula."""
    runs = text.startswith(RUN_AS_FORMULA) or text.lstrip().startswith(RUN_AS_FORMULA)
    return f"'{text}" if runs else text
