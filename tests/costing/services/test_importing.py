"""Prices and stock taken in from a file: all rows or none, and a look beforehand that stores nothing."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from costing.models import Cloth, Notion, StockMove
from costing.queries import stock_of
from costing.rules.table_reading import BadTable
from costing.services import (
    RowRead,
    add_cloth,
    archive_cloth,
    buy_cloth,
    import_table,
    reserve_cloth,
    try_import,
)
from tests.workshop.orders.house import House, garment_of, open_house, take

NOW = datetime(2026, 6, 1, 9, tzinfo=UTC)
TODAY = date(2026, 6, 1)


@pytest.fixture
def house(db) -> House:
    return open_house()


def look(house, kind, text):
    return [
        (row.line, row.name, row.does, row.fault)
        for row in try_import(kind=kind, workshop=house.workshop, text=text, now=NOW)
    ]


def take_in(house, kind, text):
    return import_table(kind=kind, workshop=house.workshop, text=text, now=NOW)


CLOTHS = (
    "name;use;width_mm;price_per_metre;one_way\nGrey satin;shell;1500;26,50;yes\nBlue wool;shell;1400;31;no\n"
)


def test_import_adds_new_cloths_and_changes_those_of_the_list(house):
    rows = take_in(house, "cloths", CLOTHS)

    satin, wool = Cloth.objects.get(name="Grey satin"), Cloth.objects.get(name="Blue wool")
    assert rows == [
        RowRead(2, "Grey satin", "changes one_way, price_per_metre"),
        RowRead(3, "Blue wool", "new"),
    ]
    assert (satin.pk, satin.price_per_metre, satin.one_way) == (house.satin.pk, Decimal("26.50"), True)
    assert (satin.version, satin.priced_on) == (2, TODAY)
    assert (wool.width_mm, wool.sold_by_mm, wool.priced_on) == (1400.0, 100.0, TODAY)


def test_a_look_says_the_same_and_stores_nothing(house):
    seen = look(house, "cloths", CLOTHS)

    house.satin.refresh_from_db()
    assert [does for _, _, does, _ in seen] == ["changes one_way, price_per_metre", "new"]
    assert (house.satin.version, house.satin.one_way) == (1, False)
    assert Cloth.objects.filter(workshop=house.workshop).count() == 2


def test_a_column_that_is_left_out_stays_as_it_is(house):
    Cloth.objects.filter(pk=house.satin.pk).update(supplier="Atlas", selvedge_mm=12.5)

    take_in(house, "cloths", "name,price_per_metre\nGrey satin,25\n")

    house.satin.refresh_from_db()
    assert (house.satin.supplier, house.satin.selvedge_mm) == ("Atlas", 12.5)
    assert house.satin.price_per_metre == Decimal("25")


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        (",shell,1500,3", "name: Fill this in."),
        ("New,sail,1500,3", "use: Choose one of: shell, lining, interfacing."),
        ("New,,1500,3", "use: Fill this in."),
        (
            "New,shell,wide,3",
            "width_mm: 'wide' is no number; write it like 1250.5, without marks for thousands.",
        ),
        ("New,shell,1,3", "width_mm: A cloth is from 5 cm to 6 m wide."),
        ("New,shell,1500,-3", "price_per_metre: An amount is zero or more; check for a digit too many."),
        (
            "New,shell,1500,99999999999999",
            "price_per_metre: An amount is zero or more; check for a digit too many.",
        ),
        ("Gone,shell,1500,3", "name: The price list has, or had, one of that name; choose another name."),
        ("Grey satin,shell,15,3", "width_mm: A cloth is from 5 cm to 6 m wide."),
        (f"{'n' * 121},shell,1500,3", "name: Shorten this to 120 letters."),
    ],
)
def test_each_row_has_its_own_fault_and_nothing_is_stored(row, fault, house):
    gone = add_cloth(workshop=house.workshop, today=TODAY, use="shell", name="Gone", width_mm=900.0,
                     price_per_metre=Decimal(1))  # fmt: skip
    archive_cloth(cloth=gone, now=NOW)
    text = f"name,use,width_mm,price_per_metre\nGood,shell,1500,3\n{row}\n"

    good, bad = look(house, "cloths", text)
    with pytest.raises(BadTable, match=r"^Line 3 cannot be taken in: .* Nothing was stored\.$"):
        take_in(house, "cloths", text)

    assert good == (2, "Good", "new", "")
    assert bad[3] == fault
    assert not Cloth.objects.filter(name="Good").exists()


def test_a_name_that_the_file_has_twice_is_a_fault_of_the_second(house):
    seen = look(house, "notions", "name,kind,price_each\nZip,zip,2\nZip,zip,3\n")

    assert seen == [(2, "Zip", "new", ""), (3, "Zip", "", "name: The file has this name twice.")]


def test_a_new_row_needs_its_columns(house):
    [row] = look(house, "cloths", "name,price_per_metre\nTulle,3\n")

    assert row[3] == "use: A new row needs this column."


def test_notions_are_taken_in_with_and_without_a_size(house):
    take_in(house, "notions", "name,kind,size_mm,price_each\nHook,hook,,0.30\nReel,thread,500000,3.2\n")

    sizes = Notion.objects.order_by("name").values_list("name", "size_mm", "price_each")
    assert list(sizes) == [("Hook", None, Decimal("0.300")), ("Reel", 500_000.0, Decimal("3.200"))]


def test_a_count_moves_the_difference(house):
    buy_cloth(cloth=house.satin, length_mm=3000, now=NOW)

    rows = take_in(
        house, "stock", "name,on_shelf_mm,set_aside_mm,free_mm\nGrey satin,2500,0,0\nLight fusible,800,,\n"
    )

    moves = StockMove.objects.filter(note="stock counted").order_by("pk")
    assert [row.does for row in rows] == ["0.50 m less", "0.80 m more"]
    assert [(move.cloth, move.kind, move.amount) for move in moves] == [
        (house.satin, "wasted", 500.0),
        (house.interfacing, "returned", 800.0),
    ]
    assert look(house, "stock", "name,on_shelf_mm\nGrey satin,2500\n")[0][2] == "as it is"


def test_a_count_below_what_is_set_aside_is_refused(house):
    buy_cloth(cloth=house.satin, length_mm=3000, now=NOW)
    reserve_cloth(cloth=house.satin, length_mm=2000, garment_id=garment_of(take(house)).pk, now=NOW)

    faults = [look(house, "stock", f"name,on_shelf_mm\nGrey satin,{mm}\n")[0][3] for mm in ("1500", "-1", "")]

    assert faults == [
        "Only 1.00 m of Grey satin lie free; note what was bought first.",
        "on_shelf_mm: A length on the shelf is zero or more.",
        "on_shelf_mm: Fill this in.",
    ]
    assert stock_of([house.satin.pk])[house.satin.pk].on_shelf == 3000


def test_a_count_of_a_cloth_that_is_not_listed_is_refused(house):
    other = open_house("Other")
    Cloth.objects.filter(pk=other.satin.pk).update(name="Their satin")

    [row] = look(house, "stock", "name,on_shelf_mm\nTheir satin,100\n")

    assert row[3] == "name: The price list has no cloth of this name; add it first."


def test_an_unknown_kind_is_refused(house):
    with pytest.raises(BadTable, match=r"^Choose one of: cloths, notions, stock\.$"):
        look(house, "buttons", CLOTHS)


def test_care_is_taken_in_by_its_codes_and_a_wrong_one_is_named(house):
    header = "name,care_wash,care_dry,priced_on\n"

    seen = look(house, "cloths", f"{header}Grey satin,30-mild,line,2020-01-01\nLight fusible,45,,\n")
    take_in(house, "cloths", f"{header}Grey satin,30-mild,line,2020-01-01\n")

    house.satin.refresh_from_db()
    assert seen[0][2:] == ("changes care_wash, care_dry", "")
    assert seen[1][3].startswith("care_wash: Choose one of: 95, 70, 60, 60-mild, 50")
    assert (house.satin.care_wash, house.satin.care_dry) == ("30-mild", "line")
    assert house.satin.priced_on != date(2020, 1, 1)  # only shown
