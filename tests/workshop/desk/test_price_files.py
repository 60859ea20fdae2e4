"""Prices and stock as files: what is given out, looked through and taken in by the pages."""

from __future__ import annotations

import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from costing.models import Cloth, Notion, StockMove
from costing.services import buy_cloth, try_import
from tests.workshop.desk import made
from tests.workshop.orders import house as built
from workshop.pages import DAMAGED, SENT_BEFORE

LOOK, TAKE = "desk:import-prices", "desk:take-prices"
NOTIONS = "name,kind,price_each\nSilk,thread,4.20\n"


def given(owner, name: str) -> bytes:
    return owner.get(reverse(f"desk:export-{name}")).content


def sent(owner, kind: str, data: bytes):
    form = {"kind": kind, "file": SimpleUploadedFile("prices.csv", data)}
    return owner.post(reverse(LOOK), form)


def test_files_say_everything_exactly(house, owner):
    Cloth.objects.filter(pk=house.satin.pk).update(
        composition="65 % wool, 35 % silk",
        supplier="=Loom",
        shrinkage_length=0.03,
        price_per_metre="24.005",
        days_to_come=12,
        right_side="the shinier one",
        care_wash="30-mild",
        care_bleach="no",
        care_dry="line-shade",
        care_iron="150",
        care_professional="p",
    )
    buy_cloth(cloth=house.satin, length_mm=2500.5, now=timezone.now())

    header, fusible, satin, end = given(owner, "cloths").decode().split("\r\n")
    stock = given(owner, "stock").decode().split("\r\n")

    assert header == (
        "name,use,composition,supplier,width_mm,selvedge_mm,one_way,shrinkage_length_percent,"
        "shrinkage_width_percent,repeat_length_mm,repeat_width_mm,price_per_metre,sold_by_mm,days_to_come,"
        "right_side,care_wash,care_bleach,care_dry,care_iron,care_professional,priced_on"
    )
    assert fusible == "Light fusible,interfacing,,,900,10,no,0,0,0,0,6.5,100,,,,,,,,2026-03-02"
    assert satin == (
        'Grey satin,shell,"65 % wool, 35 % silk",\'=Loom,1500,10,no,3,0,0,0,24.005,100,12,the shinier one,'
        "30-mild,no,line-shade,150,p,2026-03-02"
    )
    assert end == ""
    assert stock[1:3] == ["Light fusible,0,0,0", "Grey satin,2500.5,0,2500.5"]


@pytest.mark.parametrize("name", ["cloths", "notions", "stock"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_a_file_taken_in_as_it_was_given_out_changes_nothing(name, mark, house, owner):
    built.set_prices(house)
    Cloth.objects.filter(pk=house.satin.pk).update(
        name="-Grey satin",
        width_mm=1503.3,
        shrinkage_length=0.0333,
        price_per_metre="24.005",
        sold_by_mm=114.3,
    )
    text = (mark + given(owner, name)).decode("utf-8-sig")

    rows = try_import(kind=name, workshop=house.workshop, text=text, now=timezone.now())

    assert {(row.does, row.fault) for row in rows} == {("as it is", "")}
    assert [row.does for row in sent(owner, name, mark + given(owner, name)).context["rows"]] == [
        "as it is"
    ] * (len(rows))


def test_looking_through_shows_each_row_and_stores_nothing(house, owner):
    answer = sent(owner, "notions", b"name,kind,price_each\nSilk,thread,4.20\nZip,zip,free\n")

    assert [(row.line, row.does, row.fault[:28]) for row in answer.context["rows"]] == [
        (2, "new", ""),
        (3, "", "price_each: 'free' is no num"),
    ]
    assert "1 of 2 rows cannot be taken in." in answer.text
    assert reverse(TAKE) not in answer.text
    assert Notion.objects.count() == 0


def test_what_was_looked_through_is_taken_in_once(house, owner):
    shown = sent(owner, "notions", NOTIONS.encode())
    form = {"kind": shown.context["kind"], "text": shown.context["text"], "submission": uuid.uuid4()}

    first, second = (owner.post(reverse(TAKE), form) for _ in range(2))

    assert f'action="{reverse(TAKE)}"' in shown.text
    assert made.told(first) == ["Taken in: 1 of 1 rows changed something."]
    assert made.told(second)[-1] == SENT_BEFORE
    assert first.url == second.url == reverse("desk:prices")
    assert [row.name for row in Notion.objects.all()] == ["Silk"]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "The file is empty"),
        ("name\nSatén".encode("latin-1"), "The file is not in UTF-8"),
        (b"\xff\xfe\x00", "The file is not in UTF-8"),
        (b"name,colour\na,b\n", "There is no column &#x27;colour&#x27; here"),
        (b"PK\x03\x04\x00\x00", "The file holds a NUL"),
        (b"x" * 1_000_001, "The file is larger than 1000 kB"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused_at_its_field(data, words, house, owner):
    answer = sent(owner, "notions", data)

    assert answer.status_code == 200
    assert list(made.faults(answer)) == ["file"]
    assert words in answer.text


@pytest.mark.parametrize("changes", [{"kind": "sail"}, {"text": ""}, {"text": "a\x00b"}])
def test_taking_in_what_was_damaged_stores_nothing(changes, house, owner):
    form = {"kind": "notions", "text": NOTIONS, "submission": uuid.uuid4(), **changes}

    answer = owner.post(reverse(TAKE), form)

    assert made.told(answer) == [DAMAGED]
    assert (Notion.objects.count(), StockMove.objects.count()) == (0, 0)


def test_taking_in_a_file_with_a_fault_stores_none_of_it(house, owner):
    form = {"kind": "notions", "text": NOTIONS + "Zip,zip,free\n", "submission": uuid.uuid4()}

    answer = owner.post(reverse(TAKE), form)

    assert made.told(answer)[0].startswith("Line 3 cannot be taken in: price_each: 'free' is no number")
    assert Notion.objects.count() == 0
