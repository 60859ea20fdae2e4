from __future__ import annotations

from datetime import date, timedelta

import pytest

from costing import services as costing
from costing.models import Cloth
from drafting.errors import BadChoice
from tests.workshop.orders.house import (
    DUE,
    NOW,
    STYLE,
    TODAY,
    add_wearer,
    draft,
    garment_of,
    open_house,
    take,
    wish,
)
from workshop.errors import EditedMeanwhile, Refusal
from workshop.jobs.models import Job
from workshop.orders import services
from workshop.orders.models import Garment, GarmentCloth, Order
from workshop.people import services as people
from workshop.people.models import LogEntry


def test_take_order_hangs_up_its_garments(house):
    bridesmaid = add_wearer(house.client, "Lise Quist")

    order = take(
        house,
        wishes=[wish(house), wish(house, wearer=bridesmaid, title=" Bridesmaid's dress ")],
        occasion=" wedding ",
    )

    assert (order.number, order.occasion, order.due_on, order.version) == (1, "wedding", DUE, 1)
    assert list(order.garments.order_by("position").values_list("position", "title", "stage", "wearer")) == [
        (1, "Grey dress", "measure", house.wearer.pk),
        (2, "Bridesmaid's dress", "measure", bridesmaid.pk),
    ]
    assert list(
        GarmentCloth.objects.filter(garment__position=1).order_by("pk").values_list("role", "cloth", "way")
    ) == [("shell", house.satin.pk, ""), ("interfacing", house.interfacing.pk, "")]


def test_take_order_fills_in_the_style_s_own_choices(house):
    order = take(house)

    assert set(garment_of(order).choices) > {"break_point", "skirt_length"}


@pytest.mark.parametrize("length", [625.0, "625", "62,5 cm"])
def test_take_order_keeps_lengths_in_millimetres(house, length):
    order = take(house, wishes=[wish(house, choices={"skirt_length": length})])

    assert garment_of(order).choices["skirt_length"] == 625.0


def test_take_order_numbers_orders_in_a_row(house):
    assert [take(house).number, take(house).number, take(open_house("Other")).number] == [1, 2, 1]


def test_take_order_with_measurements_stands_ready_to_be_drafted(house):
    measured = people.record_measurements(
        wearer=house.wearer,
        unit="cm",
        typed={"bust_girth": "92", "waist_girth": "74", "hip_girth": "99", "stature": "168"},
        taken_by=house.owner,
        taken_on=TODAY,
        now=NOW,
    )

    order = take(house, wishes=[wish(house, measurements=measured)])

    assert (garment_of(order).stage, garment_of(order).measurements) == ("draft", measured)


def test_take_order_accepts_today(house):
    assert take(house, due_on=TODAY).due_on == TODAY


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"due_on": TODAY - timedelta(days=1)}, "due_on", "That day is past; choose today or a later one."),
        ({"due_on": date(2032, 1, 1)}, "due_on", "That is more than 5 years away; check the year."),
        ({"wishes": []}, "garments", "An order has at least one garment."),
        ({"occasion": "x" * 121}, "occasion", "Shorten the occasion: at most 120 characters, not 121."),
        ({"note": "x" * 4001}, "note", "Shorten the note: at most 4000 characters, not 4001."),
    ],
)
def test_take_order_refuses_at_the_field(house, changes, field, words):
    with pytest.raises(Refusal) as refused:
        take(house, **changes)

    assert (refused.value.field, str(refused.value)) == (field, words)
    assert Order.objects.count() == 0


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"style": "flying-carpet"}, "style"),
        ({"style": ""}, "style"),
        ({"choices": {"sleeves_of_gold": 1}}, "sleeves_of_gold"),
        ({"choices": {"break_point": "knee"}}, "break_point"),
        ({"choices": {"skirt_length": "-3"}}, "skirt_length"),
        ({"choices": {"skirt_length": float("nan")}}, "skirt_length"),
        ({"choices": {"skirt_length": "1e9"}}, "skirt_length"),
    ],
)
def test_take_order_refuses_an_unknown_style_or_choice(house, changes, field):
    with pytest.raises(BadChoice) as refused:
        take(house, wishes=[wish(house), wish(house, **changes)])

    assert refused.value.field == field
    assert Order.objects.count() == 0


def test_take_order_refuses_a_garment_without_a_name(house):
    with pytest.raises(Refusal, match=r"^Enter the garment's name\.$"):
        take(house, wishes=[wish(house, title=" \x00 ")])


def test_take_order_refuses_more_garments_than_can_be_made(house):
    with pytest.raises(Refusal, match=r"^An order has at most 60 garments; take a second order\.$"):
        take(house, wishes=[wish(house)] * 61)


def test_take_order_refuses_a_wearer_of_another_client(house):
    other = people.create_client(workshop=house.workshop, name="Nils", by=None, now=NOW)

    with pytest.raises(Refusal) as refused:
        take(house, wishes=[wish(house, wearer=add_wearer(other))])

    assert refused.value.field == "wearer"
    assert str(refused.value) == "The wearer is in another client's book; add them to this client's."


def test_take_order_refuses_an_erased_wearer(house):
    people.erase_wearer(wearer=house.wearer, reason="asked", by=house.owner, now=NOW)
    house.wearer.refresh_from_db()

    with pytest.raises(Refusal, match=r"^This wearer's data were erased; add them anew\.$"):
        take(house)


def test_take_order_refuses_a_cloth_for_another_use(house):
    with pytest.raises(Refusal) as refused:
        take(house, wishes=[wish(house, cloths={"shell": (house.interfacing, "")})])

    assert refused.value.field == "shell"
    assert str(refused.value) == "Light fusible is not sold as shell; choose another cloth."


def test_take_order_refuses_a_cloth_that_is_no_longer_sold(house):
    costing.archive_cloth(cloth=house.satin, now=NOW)
    gone = wish(house, cloths={"shell": (Cloth.objects.get(pk=house.satin.pk), "")})

    with pytest.raises(Refusal, match="Grey satin is no longer in the price list; choose another cloth"):
        take(house, wishes=[gone])


@pytest.mark.parametrize("strange", ["client", "by", "wearer", "cloth"])
def test_take_order_refuses_what_is_another_workshop_s_without_naming_it(house, strange):
    other = open_house("Other")
    changes = {
        "client": {"client": other.client},
        "by": {"by": other.owner},
        "wearer": {"wishes": [wish(house, wearer=other.wearer)]},
        "cloth": {"wishes": [wish(house, cloths={"shell": (other.satin, "")})]},
    }

    with pytest.raises(Refusal, match=r"^There is no such (client|staff|wearer|cloth) in this workshop\.$"):
        take(house, **changes[strange])

    assert Order.objects.count() == 0


def test_edit_order_changes_and_logs(house, order):
    services.edit_order(
        order=order,
        expected_version=1,
        occasion="christening",
        due_on=date(2026, 5, 2),
        note="bring shoes",
        by=house.owner,
        now=NOW,
    )

    order.refresh_from_db()
    assert (order.occasion, order.due_on, order.note, order.version) == (
        "christening",
        date(2026, 5, 2),
        "bring shoes",
        2,
    )
    entry = LogEntry.objects.get(action="edit order")
    assert (entry.actor, entry.summary) == ("Fenna", "Changed order 1: due 02 May 2026")
    assert entry.before == {"occasion": "", "due_on": "2026-04-30"}
    assert entry.after == {"occasion": "christening", "due_on": "2026-05-02"}
    assert Job.objects.filter(kind="refresh_plan").count() == 1


def edit(house, order, version, **changes):
    values = {"occasion": "", "due_on": order.due_on, "note": "", "by": house.owner, "now": NOW}
    return services.edit_order(order=order, expected_version=version, **{**values, **changes})


def test_edit_order_tells_the_second_of_two_editors(house, order):
    edit(house, order, 1, note="mine")

    with pytest.raises(EditedMeanwhile, match=r"^Somebody else changed this order meanwhile\.$"):
        edit(house, order, 1, note="theirs")

    order.refresh_from_db()
    assert order.note == "mine"


def test_edit_order_of_a_late_order_keeps_its_past_day(house, order):
    later = NOW + timedelta(days=90)

    edited = edit(house, order, 1, note="late", now=later)

    assert edited.note == "late"
    with pytest.raises(Refusal, match="That day is past"):
        edit(house, order, 2, due_on=DUE + timedelta(days=1), now=later)


def test_add_garment_takes_the_next_place(house, order):
    garment = services.add_garment(order=order, wish=wish(house, title="Cape"), by=house.owner, now=NOW)

    order.refresh_from_db()
    assert (garment.position, garment.title, order.version) == (2, "Cape", 2)


def test_add_garment_refuses_a_cancelled_order(house, order):
    services.cancel_order(order=order, reason="moved away", by=house.owner, now=NOW)

    with pytest.raises(Refusal, match=r"^This order was cancelled; take a new one\.$"):
        services.add_garment(order=order, wish=wish(house), by=house.owner, now=NOW)


def change(house, garment, version, **changes):
    values = {
        "title": garment.title,
        "style": STYLE,
        "choices": {},
        "cloths": {"shell": (house.satin, ""), "interfacing": (house.interfacing, "")},
        "by": house.owner,
        "now": NOW,
    }
    return services.change_garment(garment=garment, expected_version=version, **{**values, **changes})


def test_change_garment_tells_the_second_of_two_editors(house, garment):
    change(house, garment, 1, title="Grey gown")

    with pytest.raises(EditedMeanwhile, match=r"^Somebody else changed this garment meanwhile\.$"):
        change(house, garment, 1, title="Blue gown")

    garment.refresh_from_db()
    assert (garment.title, garment.version) == ("Grey gown", 2)


def test_change_garment_of_name_alone_keeps_the_draft(house, garment):
    made = draft(house, garment)
    garment.refresh_from_db()

    change(house, garment, garment.version, title="Grey gown")

    made.refresh_from_db()
    assert made.superseded_at is None


def test_change_garment_keeps_a_cloth_that_is_no_longer_sold(house, garment):
    costing.archive_cloth(cloth=house.satin, now=NOW)
    house.satin.refresh_from_db()

    changed = change(house, garment, 1, title="Grey gown")

    assert changed.title == "Grey gown"


def test_change_garment_refuses_a_delivered_one(house, garment):
    Garment.objects.filter(pk=garment.pk).update(stage="delivered")

    with pytest.raises(Refusal, match=r"^This garment is delivered; add a new one to an order\.$"):
        change(house, garment, 1)


def test_cancel_order_needs_the_owner_and_a_reason(house, order):
    with pytest.raises(Refusal, match=r"^Only the owner can cancel an order; ask them\.$"):
        services.cancel_order(order=order, reason="x", by=house.apprentice, now=NOW)
    with pytest.raises(Refusal, match=r"^Enter why it is cancelled\.$") as refused:
        services.cancel_order(order=order, reason=" ", by=house.owner, now=NOW)

    assert refused.value.field == "reason"


def test_cancel_order_twice_is_refused(house, order):
    services.cancel_order(order=order, reason="moved away", by=house.owner, now=NOW)

    with pytest.raises(Refusal, match=r"^This order was cancelled; take a new one\.$"):
        services.cancel_order(order=order, reason="again", by=house.owner, now=NOW)


def test_cancel_order_refuses_one_with_a_delivered_garment(house, order, garment):
    Garment.objects.filter(pk=garment.pk).update(stage="delivered")

    with pytest.raises(Refusal, match="A garment of this order is delivered; credit the invoice instead"):
        services.cancel_order(order=order, reason="x", by=house.owner, now=NOW)
