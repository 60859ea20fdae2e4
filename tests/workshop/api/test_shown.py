"""REST: what orders, garments and drafts show, and lists in pages."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.workshop import factories
from tests.workshop.api.caller import LISTS
from tests.workshop.factories import STYLE
from tests.workshop.orders import house as built


def test_orders_shows_an_order_with_its_garments(house, owner):
    order = factories.take_order(house, occasion="a wedding")
    garment = order.garments.get()

    assert owner.get(f"orders/{order.number}/").json() == {
        "number": 1,
        "client": "Marta Quist",
        "occasion": "a wedding",
        "due_on": "2026-04-30",
        "note": "",
        "version": 1,
        "created_at": "2026-03-02T09:00:00Z",
        "cancelled_at": None,
        "garments": [
            {
                "id": garment.pk,
                "order": 1,
                "position": 1,
                "title": "Grey dress",
                "wearer": "Marta Quist",
                "style": STYLE,
                "choices": garment.choices,
                "cloths": {"shell": house.satin.pk, "interfacing": house.interfacing.pk},
                "stage": "measure",
                "stage_since_at": "2026-03-02T09:00:00Z",
                "size": "",
                "draft": None,
                "tax_rate": None,
                "version": 1,
                "delivered_at": None,
            }
        ],
    }


def test_drafts_shows_the_draft_as_the_command_writes_it(house, owner):
    draft = factories.drafted_garment(house)

    shown = owner.get(f"drafts/{draft.pk}/").json()

    assert shown["output"] == draft.output
    assert (shown["garment"], shown["passed"], shown["failed_checks"]) == (draft.garment_id, True, 0)
    assert [(plan["role"], plan["buy_length_mm"]) for plan in shown["lay_plans"]] == [
        (plan.role, plan.buy_length_mm) for plan in draft.lay_plans.order_by("pk")
    ]
    assert owner.get(f"garments/{draft.garment_id}/").json()["draft"] == draft.pk


def test_lists_come_in_pages(house, owner):
    for _ in range(3):
        factories.take_order(house)

    page = owner.get("orders/?limit=2").json()

    assert (page["count"], [row["number"] for row in page["results"]]) == (3, [3, 2])
    assert [row["number"] for row in owner.get("orders/?limit=2&offset=2").json()["results"]] == [1]


@pytest.mark.parametrize("name", LISTS)
def test_lists_ask_the_database_as_often_for_three_rows(house, owner, name):
    counted = []
    for _ in range(3):
        garment = factories.quoted_order(house).order.garments.get()
        built.hold(house, garment, after=timedelta(days=1 + len(counted)))
        house.workshop.tax_rates.create(name=f"rate {len(counted)}", percent=len(counted))
        with CaptureQueriesContext(connection) as asked:
            rows = owner.get(f"{name}/").json()["count"]
        counted.append((rows, len(asked)))

    assert counted[0][0] < counted[2][0]
    assert counted[0][1] == counted[2][1]
