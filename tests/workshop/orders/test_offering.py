"""Choices in a quote: offered, carried into the next version, picked by the customer, made as picked."""

from __future__ import annotations

from decimal import Decimal

import pytest

from costing import services as costing
from costing.models import Quote
from costing.rules.options import BadPick, options_in
from costing.rules.tax import tax_on
from costing.services.quotes import QuoteExpired
from tests.workshop.orders.house import NOW, TODAY, garment_of, lay, open_house, quote, take
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders import services
from workshop.orders.models import Garment
from workshop.orders.services.answering import NewerQuote
from workshop.orders.services.what_if import WhatIf, reckon_what_if


@pytest.fixture
def crepe(house):
    """A cloth that costs twice as much."""
    return add(house, "shell", "Wool crepe", "48.00")


def add(house, use, name, price):
    return costing.add_cloth(
        workshop=house.workshop,
        today=TODAY,
        use=use,
        name=name,
        width_mm=1500.0,
        price_per_metre=Decimal(price),
    )


def offer(house, made, **wanted):
    garment = wanted.pop("garment", None) or garment_of(made.order)
    return services.offer_alternative(quote=made, garment=garment, by=house.owner, now=NOW, **wanted)


def sent(house, made):
    return services.send_quote(quote=made, by=house.owner, now=NOW)


def accept(link, picks, **changes):
    values = {"link": link, "name": "Marta Quist", "version": 1, "now": NOW, "picks": picks}
    return services.accept_quote(**{**values, **changes})


def test_offer_alternative_says_what_another_cloth_adds(house, order, crepe):
    made = offer(house, quote(house, order), cloth=crepe)
    garment = Garment.objects.get()

    (option,) = options_in(made.content)

    dear = reckon_what_if(garment=garment, what=WhatIf(cloths={"shell": crepe})).total
    assert option.title == "Cloth of Grey dress"
    assert [(way.words, way.difference) for way in option.alternatives] == [
        ("Grey satin", 0),
        ("Wool crepe", dear - made.payable),
    ]
    assert dear > made.payable
    assert garment.cloths.get(role="shell").cloth == house.satin


def test_offer_alternative_reads_the_order_as_it_is_stored(house, order, crepe):
    """An order that was just taken still has its rush and discount as they were typed, not as decimals."""
    made = quote(house, order)

    made = offer(house, made, garment=garment_of(order), cloth=crepe)

    assert len(options_in(made.content)) == 1


def test_offer_alternative_of_a_lining_is_a_choice_of_its_own(house, order, crepe):
    lining = add(house, "lining", "Viscose twill", "6.00")
    made = offer(house, quote(house, order), cloth=crepe)

    made = offer(house, made, lining="full", lining_cloth=lining)

    cloth, lined = options_in(made.content)
    assert (cloth.kind, lined.kind) == ("cloth", "lining")
    assert lined.alternatives[1].words.endswith(", in Viscose twill")
    assert lined.alternatives[1].difference > 0
    assert lined.alternatives[1].provisional


def test_offer_alternative_refuses(house, order, crepe):
    made = quote(house, order)
    other = open_house("Other")
    elsewhere = garment_of(take(house))

    for wanted, words in (
        ({}, "one thing at a time"),
        ({"cloth": crepe, "lining": "full"}, "one thing at a time"),
        ({"cloth": house.satin}, "quoted so already"),
        ({"cloth": house.interfacing}, "no longer in the price list"),
        ({"cloth": other.satin}, "no such cloth"),
        ({"cloth": crepe, "garment": elsewhere}, "none of this quote"),
    ):
        with pytest.raises(Refusal, match=words):
            offer(house, made, **wanted)
    sent(house, made)
    with pytest.raises(Refusal, match="was sent, and is frozen"):
        offer(house, made, cloth=crepe)
    with pytest.raises(Refusal, match="Only the owner"):
        services.offer_alternative(quote=made, garment=elsewhere, cloth=crepe, by=house.apprentice, now=NOW)


def test_choices_are_carried_into_a_version_written_anew_and_the_next(house, order, crepe):
    offer(house, quote(house, order), cloth=crepe)

    again = services.prepare_quote(order=order, by=house.owner, now=NOW)
    sent(house, again)
    following = services.prepare_quote(order=order, by=house.owner, now=NOW)

    assert (again.version, following.version) == (1, 2)
    assert [way.words for way in options_in(following.content)[0].alternatives] == [
        "Grey satin",
        "Wool crepe",
    ]
    assert options_in(following.content) == options_in(again.content)


def test_a_choice_that_can_no_longer_be_had_is_not_carried(house, order, crepe):
    offer(house, quote(house, order), cloth=crepe)
    costing.archive_cloth(cloth=crepe, now=NOW)

    assert services.prepare_quote(order=order, by=house.owner, now=NOW).content["options"] == []


def test_drop_option_takes_it_out(house, order, crepe):
    made = offer(house, quote(house, order), cloth=crepe)

    made = services.drop_option(quote=made, place=0, by=house.owner, now=NOW)

    assert made.content["options"] == []
    with pytest.raises(Refusal, match="no such choice"):
        services.drop_option(quote=made, place=0, by=house.owner, now=NOW)


def test_accept_quote_freezes_what_was_picked_and_the_garment_takes_it(house, order, crepe):
    made = offer(house, quote(house, order), cloth=crepe)
    price, difference = made.payable, options_in(made.content)[0].alternatives[1].difference
    frozen = dict(made.content)

    agreed = accept(sent(house, made), {0: 1})

    first, second = Quote.objects.order_by("version")
    assert (first.state, first.content, first.payable) == ("superseded", frozen, price)
    assert (second, second.version, second.state) == (agreed, 2, "accepted")
    assert agreed.payable == price + difference
    assert agreed.net + agreed.tax == agreed.gross
    assert abs(agreed.rounding) <= Decimal("0.01")
    assert agreed.tax == tax_on(agreed.net, house.workshop.tax_rate, "EUR")
    assert agreed.deposit == (agreed.payable * 40 / 100).quantize(Decimal("0.01"))
    assert agreed.accepted_text.splitlines()[:2] == [
        f"Quote version 1: Grey dress, for EUR\u00a0{agreed.payable:.2f}.",
        "Cloth of Grey dress: Wool crepe.",
    ]
    assert (agreed.answered_by, agreed.answered_at) == ("Marta Quist", NOW)
    garment = garment_of(order)
    assert garment.cloths.get(role="shell").cloth == crepe
    assert agreed.content["garments"][0]["wish"] == garment.wish(garment.cloths.all())
    assert "shell: Wool crepe" in agreed.content["garments"][0]["cloths"]
    assert garment.drafts.filter(superseded_at=None).count() == 1
    assert order.invoices.get().payable == agreed.deposit
    assert Job.objects.filter(kind="lay_plans").count() == 1
    assert Job.objects.filter(kind="paper", key=f"quote-{agreed.pk}").count() == 1


def test_accept_quote_as_quoted_changes_nothing_of_the_garment(house, order, crepe):
    made = offer(house, quote(house, order), cloth=crepe)
    draft = garment_of(order).drafts.get()

    agreed = accept(sent(house, made), {0: 0})

    assert agreed.payable == made.payable
    assert agreed.content["chosen"] == [{"title": "Cloth of Grey dress", "words": "Grey satin"}]
    assert garment_of(order).drafts.get() == draft


def test_accept_quote_with_a_lining_drafts_the_garment_anew(house, order):
    lining = add(house, "lining", "Viscose twill", "6.00")
    made = offer(house, quote(house, order), lining="full", lining_cloth=lining)

    accept(sent(house, made), {0: 1})

    garment = garment_of(order)
    assert garment.choices["lining"] == "full"
    assert "lining" in garment.drafts.get(superseded_at=None).roles
    assert garment.cloths.get(role="lining").cloth == lining


@pytest.mark.parametrize("picks", [None, {}, {0: 2}, {0: -1}, {1: 0}])
def test_accept_quote_asks_for_a_pick_that_is_offered(picks, house, order, crepe):
    link = sent(house, offer(house, quote(house, order), cloth=crepe))

    with pytest.raises(BadPick, match=r"^Please choose: Cloth of Grey dress\.$") as refused:
        accept(link, picks)

    assert refused.value.field == "option-0"
    assert Quote.objects.get().state == "sent"


def test_accepting_a_choice_twice_is_once(house, order, crepe):
    link = sent(house, offer(house, quote(house, order), cloth=crepe))

    first, second = accept(link, {0: 1}), accept(link, {0: 0})

    assert first == second
    assert Quote.objects.count() == 2
    with pytest.raises(NewerQuote):
        accept(link, {0: 1}, version=3)


def test_a_pick_that_can_no_longer_be_had_is_refused_and_nothing_is_accepted(house, order, crepe):
    link = sent(house, offer(house, quote(house, order), cloth=crepe))
    costing.archive_cloth(cloth=crepe, now=NOW)

    with pytest.raises(Refusal, match="no longer in the price list"):
        accept(link, {0: 1})

    assert Quote.objects.get().state == "sent"
    assert Garment.objects.get().cloths.get(role="shell").cloth == house.satin


def test_a_choice_runs_out_with_its_quote(house, order, crepe):
    made = offer(house, quote(house, order), cloth=crepe)
    link = sent(house, made)
    Quote.objects.update(valid_until_on=TODAY.replace(year=TODAY.year - 1))

    with pytest.raises(QuoteExpired):
        accept(link, {0: 1})


def test_a_version_being_written_counts_on_after_the_choice(house, order, crepe):
    link = sent(house, offer(house, quote(house, order), cloth=crepe))
    services.prepare_quote(order=order, by=house.owner, now=NOW)

    accept(link, {0: 1})

    assert list(Quote.objects.order_by("version").values_list("version", "state")) == [
        (1, "superseded"),
        (2, "accepted"),
        (3, "open"),
    ]


def test_a_garment_made_as_picked_can_be_laid(house, order, crepe):
    accept(sent(house, offer(house, quote(house, order), cloth=crepe)), {0: 1})

    rows = lay(garment_of(order).drafts.get(superseded_at=None))

    assert {row.cloth for row in rows} == {crepe, house.interfacing}
