from __future__ import annotations

import re
from decimal import Decimal
from math import ceil

import pytest

from costing import services as costing
from costing.models import Cloth
from costing.rules.waste import Correction, Waste
from tests.workshop.orders.house import NOW, TODAY, draft, garment_of, lay, quote, set_prices, take, to_sew
from workshop.errors import Refusal
from workshop.orders import queries, services
from workshop.orders.models import GarmentCloth, LayPlan
from workshop.orders.queries.waste import learnt_waste
from workshop.orders.services.estimating import NotPriced
from workshop.orders.services.laying import CannotLay, NoCloth


def test_make_lay_plans_lays_each_cloth_and_keeps_what_to_buy(house, garment):
    made = draft(house, garment)
    heard = []

    plans = services.make_lay_plans(
        draft=made, now=NOW, seconds=0.5, progress=lambda percent, words: heard.append((percent, words))
    )

    assert [(plan.role, plan.cloth) for plan in plans] == [
        ("shell", house.satin),
        ("interfacing", house.interfacing),
    ]
    for plan in plans:
        assert plan.buy_length_mm % 100 == 0
        assert 0 <= plan.buy_length_mm - plan.length_mm < 200
        assert 0 < plan.utilisation < 1
        assert plan.output["length"] == plan.length_mm
    assert plans[0].utilisation > 0.6
    assert list(queries.current_lays(made)) == plans
    assert heard[0] == (0.0, "Laying the shell on Grey satin")
    assert (45.0, "Laying the interfacing on Light fusible") in heard
    assert heard[-1] == (90, "Keeping the lay plans")


def test_make_lay_plans_again_supersedes_the_first(house, garment):
    made = draft(house, garment)
    first = lay(made)

    second = services.make_lay_plans(draft=made, now=NOW, seconds=0.2)

    assert list(queries.current_lays(made)) == second
    assert [plan.superseded_at for plan in LayPlan.objects.filter(pk__in=[p.pk for p in first])] == [NOW, NOW]


def test_make_lay_plans_refuses_a_garment_without_shell_cloth(house, garment):
    made = draft(house, garment)
    GarmentCloth.objects.filter(garment=garment, role="shell").delete()

    with pytest.raises(NoCloth, match=r"^Choose the shell cloth of the garment; then it can be laid\.$"):
        services.make_lay_plans(draft=made, now=NOW, seconds=0.2)


def test_make_lay_plans_refuses_a_piece_wider_than_the_cloth_and_keeps_nothing(house, garment):
    made = draft(house, garment)
    Cloth.objects.filter(pk=house.interfacing.pk).update(width_mm=120)

    with pytest.raises(CannotLay, match="wide"):
        services.make_lay_plans(draft=made, now=NOW, seconds=0.2)

    assert LayPlan.objects.count() == 0


@pytest.mark.parametrize(("unit", "writes"), [("cm", r"\d+\.\d cm"), ("in", r"\d+( \d+/\d+)? in")])
def test_a_refused_lay_speaks_the_workshop_s_unit_and_says_what_would_do(unit, writes, house, garment):
    made = draft(house, garment)
    Cloth.objects.filter(pk=house.interfacing.pk).update(width_mm=120)
    house.workshop.length_unit = unit
    house.workshop.save(update_fields=["length_unit"])
    made = queries.draft_of(house.workshop, made.pk)

    with pytest.raises(CannotLay) as refused:
        services.make_lay_plans(draft=made, now=NOW, seconds=0.2)

    words = str(refused.value)
    assert re.search(rf"is {writes} across and the cloth gives {writes} of width: {writes} too wide", words)
    assert "What would do: a cloth " in words
    assert " mm" not in words


def test_make_lay_plans_keeps_nothing_for_a_draft_that_was_superseded_meanwhile(house, garment):
    made = draft(house, garment)

    def change_meanwhile(percent, words):
        if percent == 90:
            services.draft_garment(garment=garment, by=house.owner, now=NOW)

    with pytest.raises(
        Refusal, match="The draft was superseded while it was laid; lay the one that holds now"
    ):
        services.make_lay_plans(draft=made, now=NOW, seconds=0.2, progress=change_meanwhile)

    assert LayPlan.objects.count() == 0


def test_estimate_garment_has_lines_that_sum_to_the_price(house, garment):
    set_prices(house)
    lay(draft(house, garment))

    made = services.estimate_garment(garment=garment, now=NOW)

    amounts = [Decimal(line["amount"]) for line in made.content["lines"]]
    assert sum(amounts) == Decimal(made.content["total"])
    assert Decimal(made.content["total"]) % 1 == 0
    assert made.content["provisional"] is False
    assert made.content["cautions"] == []
    assert {line["kind"] for line in made.content["lines"]} >= {
        "cloth",
        "notion",
        "thread",
        "labour",
        "overhead",
        "profit",
        "tax",
    }
    assert made.net == Decimal(made.content["net"])
    assert queries.current_estimate(garment) == made


def test_estimate_garment_buys_the_cloth_that_the_lay_takes(house, garment):
    set_prices(house)
    shell = lay(draft(house, garment))[0]

    made = services.estimate_garment(garment=garment, now=NOW)

    line = next(line for line in made.content["lines"] if line["what"] == "Grey satin (shell)")
    assert Decimal(line["quantity"]) == Decimal(str(shell.buy_length_mm)) / 1000
    assert Decimal(line["amount"]) == Decimal(line["quantity"]) * 24


def test_estimate_garment_says_which_notion_is_missing(house, garment):
    set_prices(house)
    house.workshop.notions.filter(kind__in=["zip", "thread"]).delete()
    made = draft(house, garment)
    need = next(need for need in queries.pattern_of(made).notions if need.kind == "zip")
    lay(made)

    estimate = services.estimate_garment(garment=garment, now=NOW)

    assert estimate.content["cautions"] == [
        f"The price list has no zip of {need.size_mm / 10:.1f} cm: add it, it is not in this price.",
        "The price list has no thread with its length: add it, it is not in this price.",
    ]


def test_estimate_garment_takes_the_shortest_zip_that_is_long_enough(house, garment):
    set_prices(house)
    for size in (650.0, 100.0, 700.0):
        costing.add_notion(
            workshop=house.workshop,
            today=TODAY,
            kind="zip",
            name=f"Zip {size:g}",
            size_mm=size,
            price_each=Decimal(2),
        )
    made = draft(house, garment)
    need = next(need for need in queries.pattern_of(made).notions if need.kind == "zip")

    estimate = services.estimate_garment(garment=garment, now=NOW)

    zips = [line["what"] for line in estimate.content["lines"] if "ip " in line["what"]]
    assert 100 < need.size_mm <= 600
    assert zips == ["Concealed zip 60 cm"]


def test_estimate_garment_without_lays_is_provisional(house, garment):
    set_prices(house)
    draft(house, garment)

    made = services.estimate_garment(garment=garment, now=NOW)

    line = next(line for line in made.content["lines"] if line["what"] == "Grey satin (shell)")
    assert made.content["provisional"] is True
    assert "guessed from the pieces' area: not laid yet" in line["why"]


def test_estimate_garment_says_which_cloth_nobody_chose(house, garment):
    set_prices(house)
    GarmentCloth.objects.filter(garment=garment, role="interfacing").delete()
    draft(house, garment)

    made = services.estimate_garment(garment=garment, now=NOW)

    assert made.content["provisional"] is True
    assert made.content["cautions"] == ["No interfacing is chosen: it is not in this price."]


def test_estimate_garment_refuses_without_rates_and_without_a_draft(house, garment):
    with pytest.raises(Refusal) as undrafted:
        services.estimate_garment(garment=garment, now=NOW)
    draft(house, garment)
    with pytest.raises(NotPriced) as unpriced:
        services.estimate_garment(garment=garment, now=NOW)

    assert str(undrafted.value) == "Draft Grey dress first; the price is reckoned from its pattern."
    assert str(unpriced.value) == (
        "Set what an hour costs on the page of prices first; no price can be reckoned without it."
    )


def test_estimate_garment_anew_supersedes_the_first(house, order, garment):
    quote(house, order)
    first = queries.current_estimate(garment)

    second = services.estimate_garment(garment=garment, now=NOW)

    first.refresh_from_db()
    assert (first.superseded_at, queries.current_estimate(garment)) == (NOW, second)


def test_what_was_really_cut_feeds_the_next_estimate_of_that_cloth(house, order, garment):
    sewn = to_sew(house, order)
    shell, _ = queries.current_lays(queries.current_draft(sewn))
    services.note_cut_length(
        garment=sewn, cloth=house.satin, length_mm=shell.cut_mm * 1.2, by=house.owner, now=NOW
    )
    next_one = garment_of(take(house))
    [lay_now, _] = lay(draft(house, next_one))

    made = services.estimate_garment(garment=next_one, now=NOW)

    factor = 1.2 ** (2 / 3)  # one garment, all spreads alike: see the tests of rules.waste
    need = lay_now.need_mm + lay_now.cut_mm * (factor - 1)
    line = next(line for line in made.content["lines"] if line["what"] == "Grey satin (shell)")
    assert Decimal(line["quantity"]) == Decimal(ceil(need / 100)) / 10
    assert line["why"].endswith("; +12.9 % that was really cut in 1 garment")


def test_a_cut_that_nobody_noted_teaches_nothing_and_one_as_planned_does(house, order):
    sewn = to_sew(house, order)
    shell, _ = queries.current_lays(queries.current_draft(sewn))
    unnoted = learnt_waste(house.workshop.pk)

    services.note_cut_length(garment=sewn, cloth=house.satin, length_mm=shell.cut_mm, by=house.owner, now=NOW)

    assert unnoted == Waste()
    assert learnt_waste(house.workshop.pk).of(house.satin.pk) == Correction(1.0, 1)
