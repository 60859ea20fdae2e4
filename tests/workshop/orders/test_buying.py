"""The buying list over all agreed orders, and marking its lines bought."""

from __future__ import annotations

from datetime import date
from math import ceil

import pytest

from costing.models import Notion, StockMove
from costing.queries import reserved_for, stock_of
from costing.services import return_cloth
from tests.workshop.orders.house import NOW, accept, buy, garment_of, open_house, send, take, to_sew
from workshop.errors import Refusal
from workshop.orders import queries, services
from workshop.orders.models import Draft, Garment
from workshop.orders.services import ListChanged
from workshop.people.models import LogEntry


def shown(house, days=None):
    """The list as (supplier, thing, amount, day, garments)."""
    return [
        (supplier, line.row.name, line.amount, line.needed_on, [garment.pk for garment in line.garments])
        for supplier, lines in queries.buying_list(house.workshop, days or {}).suppliers
        for line in lines
    ]


def lines_of(house, row):
    return [line for line in shown(house) if line[1] == row.name]


def length(garment) -> float:
    """Of the shell to buy for a garment, mm."""
    return queries.current_lays(queries.current_draft(garment))[0].buy_length_mm


def need(garment) -> float:
    """Of the shell to set aside for a garment, mm."""
    return queries.current_lays(queries.current_draft(garment))[0].need_mm


def from_supplier(row, name) -> None:
    row.supplier = name
    row.save(update_fields=["supplier"])


def test_buying_list_joins_the_lengths_of_one_cloth_by_the_earlier_day(house):
    late, soon = take(house, due_on=date(2026, 5, 20)), take(house, due_on=date(2026, 4, 1))
    for order in (late, soon):
        accept(house, order)

    [line] = lines_of(house, house.satin)

    first, second = garment_of(soon), garment_of(late)
    assert line[2] == ceil((need(first) + need(second)) / 100) * 100 < length(first) + length(second)
    assert line[3:] == (date(2026, 4, 1), [first.pk, second.pk])


def test_buying_list_says_the_day_on_which_the_work_begins(house, order, garment):
    accept(house, order)

    days = {line[3] for line in shown(house, {garment.pk: date(2026, 3, 20)})}

    assert days == {date(2026, 3, 20)}


def test_buying_list_says_by_when_to_order(house, order, garment):
    """The workshop's usual days where the price list says none; 0 is said, and not the usual."""
    accept(house, order)
    house.workshop.days_to_come = 7
    house.satin.days_to_come = 21
    house.satin.save(update_fields=["days_to_come"])
    Notion.objects.filter(kind="zip").update(days_to_come=0)

    found = queries.buying_list(house.workshop, {garment.pk: date(2026, 3, 30)}).suppliers

    [(_, lines)] = found
    assert [(line.row.name, line.order_on) for line in lines] == [
        ("Grey satin", date(2026, 3, 9)),
        ("Hook and eye", date(2026, 3, 23)),
        ("Horn button 18 mm", date(2026, 3, 23)),
        ("Light fusible", date(2026, 3, 23)),
        ("Polyester thread, 500 m", date(2026, 3, 23)),
        ("Concealed zip 60 cm", date(2026, 3, 30)),
    ]


def test_buying_list_names_a_day_on_which_somebody_is_there_to_order(house, order, garment):
    accept(house, order)
    house.workshop.days_to_come = 6
    closed = {date(2026, 3, 24): date(2026, 3, 20)}

    found = queries.buying_list(
        house.workshop, {garment.pk: date(2026, 3, 30)}, lambda day: closed.get(day, day)
    )

    assert {line.order_on for _, lines in found.suppliers for line in lines} == {date(2026, 3, 20)}


def test_buying_list_goes_by_supplier_the_most_pressing_first(house):
    from_supplier(house.satin, "Loom & Sons")
    from_supplier(house.interfacing, "Atlas")
    accept(house, take(house))

    names = [(supplier, name) for supplier, name, *_ in shown(house)]

    assert names == [
        ("", "Concealed zip 60 cm"),
        ("", "Hook and eye"),
        ("", "Horn button 18 mm"),
        ("", "Polyester thread, 500 m"),
        ("Atlas", "Light fusible"),
        ("Loom & Sons", "Grey satin"),
    ]


def test_buying_list_counts_the_notions_of_all_drafts(house):
    for _ in range(3):
        accept(house, take(house))
    zipped = Notion.objects.get(kind="zip")

    [line] = lines_of(house, zipped)

    assert (line[2], len(line[4])) == (3, 3)


def test_buying_list_names_a_notion_that_the_price_list_lacks(house, order, garment):
    accept(house, order)
    Notion.objects.filter(kind="zip").update(size_mm=100)

    [(words, whose)] = queries.buying_list(house.workshop, {}).unlisted

    [zipped] = [row for row in queries.pattern_of(Draft.objects.get()).notions if row.kind == "zip"]
    assert words == f"1 × zip of {zipped.size_mm / 10:.1f} cm"
    assert whose == garment


def test_buying_list_leaves_out_what_is_not_agreed_cancelled_or_next_door(house):
    other = open_house("Other")
    accept(other, take(other))
    send(house, take(house))
    gone = take(house)
    accept(house, gone)
    services.cancel_order(order=gone, reason="moved away", by=house.owner, now=NOW)

    assert shown(house) == []
    assert len(shown(other)) == 6


def test_buying_list_asks_for_no_cloth_once_it_is_cut(house, order):
    to_sew(house, order)

    assert [name for _, name, *_ in shown(house)] == [
        "Concealed zip 60 cm",
        "Hook and eye",
        "Horn button 18 mm",
        "Polyester thread, 500 m",
    ]


def test_buying_list_names_a_garment_that_is_not_laid(house, order, garment):
    accept(house, order)
    queries.current_lays(queries.current_draft(garment)).update(superseded_at=NOW)

    found = queries.buying_list(house.workshop, {})

    assert found.unlaid == (garment,)
    assert lines_of(house, house.satin) == []


def test_buying_list_offers_what_came_back_to_the_shelf(house, order, garment):
    accept(house, order)
    return_cloth(cloth=house.satin, length_mm=length(garment), now=NOW)

    [offered] = queries.buying_list(house.workshop, {}).on_shelf

    assert (offered.row, offered.amount, offered.garments) == (house.satin, need(garment), (garment,))
    assert lines_of(house, house.satin) == []


def test_buy_listed_cloth_sets_it_aside_and_the_line_goes(house, order, garment):
    accept(house, order)

    served = buy_satin(house, length(garment))

    assert served == [garment]
    assert reserved_for(garment.pk) == {house.satin.pk: need(garment)}
    assert lines_of(house, house.satin) == []


def buy_satin(house, mm):
    return services.buy_listed_cloth(
        workshop=house.workshop, cloth=house.satin, shown_mm=mm, by=house.owner, now=NOW
    )


@pytest.mark.parametrize("more", [100.0, -100.0, float("nan"), float("inf")])
def test_buy_listed_cloth_refuses_a_length_that_is_not_listed(more, house, order, garment):
    accept(house, order)

    with pytest.raises(ListChanged, match=r"^The list has changed: look at Grey satin again"):
        buy_satin(house, length(garment) + more)

    assert StockMove.objects.count() == 0


def test_buy_listed_cloth_refuses_a_second_tap_from_another_page(house, order, garment):
    accept(house, order)
    buy_satin(house, length(garment))

    with pytest.raises(ListChanged):
        buy_satin(house, length(garment))

    assert stock_of([house.satin.pk])[house.satin.pk].on_shelf == length(garment)


def test_buy_listed_notion_notes_each_with_its_garment(house):
    orders = [take(house), take(house)]
    for order in orders:
        accept(house, order)
    zipped = Notion.objects.get(kind="zip")

    services.buy_listed_notion(workshop=house.workshop, notion=zipped, shown=2, by=house.owner, now=NOW)

    moves = StockMove.objects.filter(notion=zipped).order_by("garment_id")
    assert [(move.garment, move.amount) for move in moves] == [(garment_of(row), 1) for row in orders]
    assert lines_of(house, zipped) == []
    assert LogEntry.objects.get(action="buy notion").summary == "Bought 2 × Concealed zip 60 cm"


def test_buy_listed_notion_refuses_a_second_tap_and_another_house(house, order):
    accept(house, order)
    zipped = Notion.objects.get(kind="zip")
    services.buy_listed_notion(workshop=house.workshop, notion=zipped, shown=1, by=house.owner, now=NOW)

    with pytest.raises(ListChanged):
        services.buy_listed_notion(workshop=house.workshop, notion=zipped, shown=1, by=house.owner, now=NOW)
    with pytest.raises(Refusal, match="There is no such notion in this workshop"):
        services.buy_listed_notion(
            workshop=open_house("Other").workshop, notion=zipped, shown=1, by=None, now=NOW
        )

    assert StockMove.objects.filter(notion=zipped).count() == 1


def test_bought_by_hand_goes_off_the_list_too(house, order, garment):
    accept(house, order)

    buy(house, house.satin, length(garment))

    assert lines_of(house, house.satin) == []


def zips_bought(house, order) -> Notion:
    accept(house, order)
    zipped = Notion.objects.get(kind="zip", workshop=house.workshop)
    services.buy_listed_notion(workshop=house.workshop, notion=zipped, shown=1, by=house.owner, now=NOW)
    return zipped


def left_over(house):
    rows = queries.buying_list(house.workshop, {}).left_over
    return [(row.row.name, row.amount, list(row.garments), list(row.givers)) for row in rows]


def test_what_a_cancelled_garment_has_over_is_offered_to_another_and_not_bought_again(house):
    gone = take(house)
    zipped = zips_bought(house, gone)
    services.cancel_order(order=gone, reason="moved away", by=house.owner, now=NOW)
    other = take(house)
    accept(house, other)

    assert left_over(house) == [(zipped.name, 1, [garment_of(other)], [garment_of(gone)])]
    assert lines_of(house, zipped) == []

    served = services.take_over_notion(
        workshop=house.workshop, notion=zipped, shown=1, by=house.owner, now=NOW
    )

    moves = StockMove.objects.filter(notion=zipped).order_by("pk")
    assert served == [garment_of(other)]
    assert [(move.kind, move.garment, move.amount) for move in moves] == [
        ("bought", garment_of(gone), 1),
        ("returned", garment_of(gone), 1),
        ("reserved", garment_of(other), 1),
    ]
    assert moves[2].taken_from == moves[1]
    assert (left_over(house), lines_of(house, zipped)) == ([], [])


def test_what_is_over_is_taken_over_once(house):
    gone = take(house)
    zipped = zips_bought(house, gone)
    services.cancel_order(order=gone, reason="moved away", by=house.owner, now=NOW)
    accept(house, take(house))
    services.take_over_notion(workshop=house.workshop, notion=zipped, shown=1, by=house.owner, now=NOW)

    with pytest.raises(ListChanged):
        services.take_over_notion(workshop=house.workshop, notion=zipped, shown=1, by=house.owner, now=NOW)

    assert StockMove.objects.filter(notion=zipped).count() == 3


def test_a_changed_garment_offers_what_its_new_draft_does_not_need(house):
    changed = take(house)
    zipped = zips_bought(house, changed)
    garment = garment_of(changed)
    other = take(house)
    accept(house, other)
    assert left_over(house) == []

    services.change_garment(
        garment=garment,
        expected_version=Garment.objects.get(pk=garment.pk).version,
        title=garment.title,
        style=garment.style,
        choices={**garment.choices, "closure": "front buttons"},
        cloths={row.role: (row.cloth, row.way) for row in garment.cloths.all()},
        by=house.owner,
        now=NOW,
    )
    undrafted = left_over(house)
    garment.refresh_from_db()
    services.draft_garment(garment=garment, by=house.owner, now=NOW)

    assert undrafted == []  # it may need it again
    assert left_over(house) == [(zipped.name, 1, [garment_of(other)], [garment])]


def test_what_is_sewn_in_is_not_over(house):
    gone = take(house)
    zipped = zips_bought(house, gone)
    Garment.objects.filter(order=gone).update(stage="fit")
    services.cancel_order(order=gone, reason="moved away", by=house.owner, now=NOW)
    accept(house, take(house))

    assert left_over(house) == []
    assert len(lines_of(house, zipped)) == 1
