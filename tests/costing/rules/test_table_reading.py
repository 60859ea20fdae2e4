from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.rules.table_reading import MOST_BYTES, MOST_ROWS, BadTable, Row, decoded, read_table
from costing.rules.tables import csv_file

KNOWN = ("name", "price", "note")


def read(text: str) -> list[Row]:
    return read_table(text, KNOWN, ["name"])


@pytest.mark.parametrize(
    "text",
    [
        "name,price\r\nsatin,24\r\n",
        "name;price\nsatin;24",
        " Name , PRICE \n satin , 24 \n\n",
        '"name","price"\r\n"satin","24"\r\n',
    ],
)
def test_read_table_takes_comma_or_semicolon_and_any_line_end(text):
    assert read(text) == [Row(2, {"name": "satin", "price": "24"})]


def test_read_table_reads_quoted_separators_quotes_and_lines():
    # RFC 4180, section 2, rules 6 and 7 (from memory).
    text = 'name,note\r\n"satin, ""grey""","two\r\nlines"\r\nwool,\r\n'

    assert read(text) == [
        Row(2, {"name": 'satin, "grey"', "note": "two\r\nlines"}),
        Row(4, {"name": "wool", "note": ""}),
    ]


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_decoded_reads_utf_8_with_and_without_its_mark(mark):
    assert decoded(mark + "name\nSaténg".encode()) == "name\nSaténg"


@pytest.mark.parametrize(
    "data", ["Satén".encode("latin-1"), "name".encode("utf-16"), b"x" * (MOST_BYTES + 1)]
)
def test_decoded_refuses_what_is_not_utf_8_or_too_large(data):
    with pytest.raises(BadTable, match=r"UTF-8|larger"):
        decoded(data)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "The file is empty"),
        ("\n ,\n", "The file is empty"),
        ("name,price\n", "no rows below its header"),
        ("price\n3", "The column name is missing"),
        ("name,colour\nsatin,red", "There is no column 'colour' here; there are: name, price, note"),
        ("name,name\na,b", "The column name is there twice"),
        ("name,price\nsatin", "Line 2 has 1 cells, the header 2"),
        ('name,price\n"satin,3', "Line 2 cannot be read"),
        ('name,price\n"satin"x,3', "Line 2 cannot be read"),
        ("name\nsat\x00in", "holds a NUL"),
        ("name\n" + "x\n" * (MOST_ROWS + 1), f"more than {MOST_ROWS} rows"),
    ],
)
def test_read_table_refuses_and_says_what_would_do(text, words):
    with pytest.raises(BadTable, match=words):
        read(text)


@given(st.lists(st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=12), min_size=1, max_size=4))
def test_read_table_gives_back_what_csv_file_wrote(texts):
    made = csv_file(("name", "note"), [("x", text) for text in texts])

    assert [row.cells["note"] for row in read(decoded(made))] == [text.strip() for text in texts]


@given(st.text(max_size=60))
def test_read_table_never_breaks(text):
    with suppress(BadTable):
        assert all(set(row.cells) == {"name", "note"} for row in read("name,note\n" + text))
