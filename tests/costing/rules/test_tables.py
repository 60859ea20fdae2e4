from __future__ import annotations

import csv
from datetime import date
from decimal import Decimal
from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.rules.tables import csv_file

TEXTS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00"), max_size=12)


def test_csv_file_writes_days_amounts_and_nothing_plainly():
    first = ("Åsa", date(2026, 11, 5), Decimal("-1234.50"), 3, None)
    second = ("b", date(2026, 1, 2), Decimal("1E+3"), -1, None)

    made = csv_file(("name", "on", "amount", "count", "share"), [first, second])

    lines = ["name,on,amount,count,share", "Åsa,2026-11-05,-1234.50,3,", "b,2026-01-02,1000,-1,", ""]
    assert made == "\r\n".join(lines).encode()


def test_csv_file_quotes_as_rfc_4180_does():
    # RFC 4180, section 2, rules 6 and 7 (from memory): commas, line breaks and quotes stand between quotes; a
    # quote within is doubled.
    made = csv_file(("name",), [('Quist, "Marta"',), ("two\r\nlines",)])

    assert made == b'name\r\n"Quist, ""Marta"""\r\n"two\r\nlines"\r\n'


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "  =1", "\u00a0=1", '="a,b"']
)
def test_csv_file_holds_a_text_from_being_run(text):
    # The signs that begin a formula: OWASP, CSV Injection (from memory).
    (_, row) = csv.reader(csv_file(("name",), [(text,)]).decode().splitlines(keepends=True))

    assert row == [f"'{text}"]


@given(rows=st.lists(st.tuples(TEXTS, TEXTS), max_size=4))
def test_csv_file_is_read_back_as_it_was(rows):
    read = list(csv.reader(StringIO(csv_file(("one", "two"), rows).decode(), newline="")))

    assert read[0] == ["one", "two"]
    for cells, texts in zip(read[1:], rows, strict=True):
        for cell, text in zip(cells, texts, strict=True):
            assert cell in {text, f"'{text}"}
            assert not cell.lstrip().startswith(("=", "+", "-", "@"))


def test_csv_file_refuses_a_row_of_another_length():
    with pytest.raises(ValueError, match="zip"):
        csv_file(("one", "two"), [("only",)])
