from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest

from costing.models import Estimate, Quote
from costing.services.quotes import QuoteClosed, QuoteExpired
from tests.workshop.orders.house import (
    DUE,
    NOW,
    accept,
    add_wearer,
    draft,
    garment_of,
    open_house,
    quote,
    send,
    set_prices,
    take,
    wish,
)
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders import queries, services
from workshop.orders.models import PrivateLink
from workshop.orders.services.answering import LinkClosed, NewerQuote
from workshop.people.models import LogEntry


def test_prepare_quote_is_the_sum_of_its_garments(house):
    order = take(house, wishes=[wish(house), wish(house, wearer=add_wearer(house.client, "Lise Quist"))])

    made = quote(house, order)

    rows = made.content["garments"]
    assert [row["wearer"] for row in rows] == ["Marta Quist", "Lise Quist"]
    assert made.payable == sum(Decimal(row["amount"]) for row in rows)
    assert made.net + made.tax == made.gross
    assert abs(made.rounding) <= Decimal("0.02")
    assert made.deposit == (made.payable * 40 / 100).quantize(Decimal("0.01"))
    assert (made.version, made.state, made.valid_until_on) == (1, "open", date(2026, 3, 23))
    assert rows[0]["drawing"].startswith("<svg")
    assert rows[0]["cloths"] == ["shell: Grey satin", "interfacing: Light fusible"]
    assert made.content["buyer"]["name"] == "Marta Quist"


def test_prepare_quote_again_writes_the_open_version_anew(house, order):
    quote(house, order)
    again = services.prepare_quote(order=order, by=house.owner, now=NOW)

    assert list(Quote.objects.values_list("pk", "version")) == [(again.pk, 1)]


def test_prepare_quote_reckons_with_the_prices_of_now(house, order):
    first = quote(house, order).payable
    rates = house.workshop.rates
    rates.hourly_wage *= 2
    rates.save()

    second = services.prepare_quote(order=order, by=house.owner, now=NOW)

    assert second.payable > first
    assert Estimate.objects.filter(superseded_at=None).count() == 1


def test_prepare_quote_refuses_before_the_draft_and_after_the_end(house, order):
    set_prices(house)
    with pytest.raises(Refusal, match=r"^Draft Grey dress first; the price is reckoned from its pattern\.$"):
        services.prepare_quote(order=order, by=house.owner, now=NOW)
    services.cancel_order(order=order, reason="moved away", by=house.owner, now=NOW)
    with pytest.raises(Refusal, match=r"^This order was cancelled; there is nothing to quote\.$"):
        services.prepare_quote(order=order, by=house.owner, now=NOW)


def test_prepare_and_send_quote_are_the_owner_s(house, order):
    made = quote(house, order)

    with pytest.raises(Refusal, match=r"^Only the owner can prepare a quote; ask them\.$"):
        services.prepare_quote(order=order, by=house.apprentice, now=NOW)
    with pytest.raises(Refusal, match=r"^Only the owner can send a quote; ask them\.$"):
        services.send_quote(quote=made, by=house.apprentice, now=NOW)
    with pytest.raises(Refusal, match=r"^There is no such staff in this workshop\.$"):
        services.send_quote(quote=made, by=open_house("Other").owner, now=NOW)


def test_send_quote_freezes_it_and_opens_a_link(house, order):
    made = quote(house, order)

    link = services.send_quote(quote=made, by=house.owner, now=NOW)

    made.refresh_from_db()
    assert (made.state, made.sent_at) == ("sent", NOW)
    assert len(link.secret) == 43
    assert link.expires_at == NOW + (DUE - NOW.date()) + timedelta(days=120)
    job = Job.objects.get(kind="paper")
    assert job.params == {"order": order.pk, "kind": "quote", "source": made.pk, "letter": "quote_letter"}
    assert queries.link_address(link).endswith(f"/c/{link.secret}/")


def test_send_quote_twice_is_refused(house, order):
    made = quote(house, order)
    services.send_quote(quote=made, by=house.owner, now=NOW)

    with pytest.raises(QuoteClosed, match=r"^Version 1 is sent already; prepare a new version\.$"):
        services.send_quote(quote=made, by=house.owner, now=NOW)


def test_send_quote_of_a_cancelled_order_is_refused(house, order):
    made = quote(house, order)
    services.cancel_order(order=order, reason="moved away", by=house.owner, now=NOW)

    with pytest.raises(Refusal, match=r"^This order was cancelled; its quote is not sent\.$"):
        services.send_quote(quote=made, by=house.owner, now=NOW)


def test_send_quote_of_a_new_version_keeps_the_link_and_replaces_the_old(house, order):
    first = send(house, order)

    second = services.send_quote(
        quote=services.prepare_quote(order=order, by=house.owner, now=NOW), by=house.owner, now=NOW
    )

    assert second == first
    assert list(order.quotes.order_by("version").values_list("version", "state")) == [
        (1, "superseded"),
        (2, "sent"),
    ]


def test_accept_quote_asks_for_the_deposit_and_a_plan(house, order):
    link = send(house, order)
    Job.objects.filter(kind="refresh_plan").delete()

    made = services.accept_quote(link=link, name="  Marta Quist ", version=1, now=NOW)

    assert (made.state, made.answered_by, made.answered_at) == ("accepted", "Marta Quist", NOW)
    price = f"EUR\u00a0{made.payable:.2f}"
    assert made.accepted_text == (
        f"Quote version 1: Grey dress, for {price}.\n"
        "Alterations after the second fitting are charged by the hour."
    )
    invoice = order.invoices.get()
    assert (invoice.kind, invoice.payable) == ("deposit", made.deposit)
    assert Job.objects.filter(kind="refresh_plan").count() == 1
    entry = LogEntry.objects.get(action="accept quote")
    assert (entry.actor, entry.staff, entry.summary) == ("Marta Quist", None, "Accepted quote version 1")


def test_accept_quote_twice_is_accepting_once(house, order):
    link = send(house, order)

    first = services.accept_quote(link=link, name="Marta", version=1, now=NOW)
    second = services.accept_quote(link=link, name="Nils", version=1, now=NOW + timedelta(hours=1))

    assert (second, second.answered_by, second.answered_at) == (first, "Marta", NOW)
    assert order.invoices.count() == 1
    assert LogEntry.objects.filter(action="accept quote").count() == 1


def test_accept_quote_of_an_older_version_is_refused(house, order):
    link = send(house, order)
    newer = services.prepare_quote(order=order, by=house.owner, now=NOW)
    services.send_quote(quote=newer, by=house.owner, now=NOW)

    with pytest.raises(NewerQuote) as refused:
        services.accept_quote(link=link, name="Marta", version=1, now=NOW)

    assert str(refused.value) == (
        "We have sent a newer version of this quote; please read it, then answer that one."
    )
    newer.refresh_from_db()
    assert newer.state == "sent"


def test_accept_quote_that_ran_out_is_refused(house, order):
    link = send(house, order)
    last_day = NOW + timedelta(days=21)

    with pytest.raises(QuoteExpired, match="This quote was valid until 23 March 2026; ask for a new one"):
        services.accept_quote(link=link, name="Marta", version=1, now=last_day + timedelta(days=1))

    assert services.accept_quote(link=link, name="Marta", version=1, now=last_day).state == "accepted"


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("", "Write your name, so that we know who accepted."),
        (" \x00 ", "Write your name, so that we know who accepted."),
        ("x" * 121, "Shorten your name: at most 120 characters, not 121."),
    ],
)
def test_accept_quote_needs_a_name_that_can_be_kept(house, order, name, words):
    link = send(house, order)

    with pytest.raises((Refusal, QuoteClosed)) as refused:
        services.accept_quote(link=link, name=name, version=1, now=NOW)

    assert (refused.value.field, str(refused.value)) == ("name", words)
    assert order.invoices.count() == 0


def test_accept_quote_of_a_cancelled_order_is_refused(house, order):
    link = send(house, order)
    services.cancel_order(order=order, reason="moved away", by=house.owner, now=NOW)

    for answer in (
        lambda: services.accept_quote(link=link, name="Marta", version=1, now=NOW),
        lambda: services.decline_quote(link=link, reason="", now=NOW),
    ):
        with pytest.raises(Refusal, match=r"^This order was cancelled; please call us\.$"):
            answer()


def test_accept_quote_through_a_withdrawn_or_expired_link_is_refused(house, order):
    link = send(house, order)
    with pytest.raises(LinkClosed):
        services.accept_quote(link=link, name="Marta", version=1, now=link.expires_at)
    services.withdraw_link(link=link, by=house.owner, now=NOW)

    with pytest.raises(LinkClosed, match=r"^This page was closed meanwhile; please call us\.$"):
        services.accept_quote(link=link, name="Marta", version=1, now=NOW)

    assert order.quotes.get().state == "sent"


def test_accept_quote_with_no_quote_out_is_refused(house, order):
    link = PrivateLink.objects.create(
        order=order, secret="s" * 43, expires_at=NOW + timedelta(days=1), created_at=NOW
    )
    quote(house, order)

    with pytest.raises(Refusal, match=r"^There is no quote to answer now; please ask us for one\.$"):
        services.accept_quote(link=link, name="Marta", version=1, now=NOW)


def test_accept_quote_without_a_deposit_issues_no_invoice(house, order):
    house.workshop.deposit_share = 0
    house.workshop.save()

    made = accept(house, order)

    assert (made.deposit, order.invoices.count()) == (0, 0)
    assert "The deposit is not in yet." not in queries.moves(garment_of(order))[0].refusals


def test_decline_quote_keeps_the_reason_once(house, order):
    link = send(house, order)

    services.decline_quote(link=link, reason=" too dear\x00 ", now=NOW)
    services.decline_quote(link=link, reason="another", now=NOW)

    made = order.quotes.get()
    assert (made.state, made.decline_reason) == ("declined", "too dear")
    assert LogEntry.objects.filter(action="decline quote").count() == 1
    assert queries.waiting_for_owner(house.workshop, NOW) == [made]
    with pytest.raises(QuoteClosed, match=r"^This version of the quote is declined; ask for the one that"):
        services.accept_quote(link=link, name="Marta", version=1, now=NOW)


def test_declining_a_change_leaves_what_was_agreed_and_waits_for_nobody(house, order):
    agreed = accept(house, order)
    link = send(house, order)
    Job.objects.all().delete()

    services.decline_quote(link=link, reason="as it was, please", now=NOW)

    agreed.refresh_from_db()
    assert agreed.state == "accepted"
    assert queries.facts_of([garment_of(order)], now=NOW)[garment_of(order).pk].quote == "accepted"
    assert queries.waiting_for_owner(house.workshop, NOW) == []
    assert Job.objects.filter(kind="refresh_plan").exists()
    with pytest.raises(NewerQuote):
        services.accept_quote(link=link, name="Marta Quist", version=agreed.version, now=NOW)


def test_withdraw_quote_takes_a_change_back_and_asks_for_a_plan(house, order):
    agreed = accept(house, order)
    link = send(house, order)
    Job.objects.all().delete()
    change = order.quotes.get(version=2)
    with pytest.raises(Refusal):
        services.withdraw_quote(quote=change, by=house.apprentice, now=NOW)

    services.withdraw_quote(quote=change, by=house.owner, now=NOW)

    assert queries.facts_of([garment_of(order)], now=NOW)[garment_of(order).pk].quote == "accepted"
    assert queries.waiting_for_owner(house.workshop, NOW) == []
    assert Job.objects.filter(kind="refresh_plan").exists()
    assert LogEntry.objects.filter(action="withdraw quote", order_id=order.pk).count() == 1
    with pytest.raises(NewerQuote):  # answered meanwhile, on a page that lay open
        services.accept_quote(link=link, name="Marta Quist", version=2, now=NOW)
    with pytest.raises(QuoteClosed, match="cannot be taken back"):
        services.withdraw_quote(quote=agreed, by=house.owner, now=NOW)


def test_decline_quote_of_an_older_version_is_refused(house, order):
    link = send(house, order)
    services.send_quote(
        quote=services.prepare_quote(order=order, by=house.owner, now=NOW), by=house.owner, now=NOW
    )

    with pytest.raises(NewerQuote):
        services.decline_quote(link=link, reason="", version=1, now=NOW)


def test_decline_quote_that_was_accepted_is_refused(house, order):
    link = send(house, order)
    services.accept_quote(link=link, name="Marta", version=1, now=NOW)

    with pytest.raises(QuoteClosed, match=r"^This version of the quote is accepted; ask for the one that"):
        services.decline_quote(link=link, reason="", now=NOW)


def test_withdraw_link_closes_it_for_good(house, order):
    link = send(house, order)
    with pytest.raises(Refusal, match=r"^Only the owner can withdraw a link; ask them\.$"):
        services.withdraw_link(link=link, by=house.apprentice, now=NOW)

    services.withdraw_link(link=link, by=house.owner, now=NOW)

    assert queries.link_of(link.secret, NOW) is None
    assert queries.current_link(order) is None
    with pytest.raises(Refusal, match=r"^This link was withdrawn already\.$"):
        services.withdraw_link(link=link, by=house.owner, now=NOW)


def test_send_quote_after_a_withdrawn_link_opens_another(house, order):
    first = send(house, order)
    services.withdraw_link(link=first, by=house.owner, now=NOW)

    second = services.send_quote(
        quote=services.prepare_quote(order=order, by=house.owner, now=NOW), by=house.owner, now=NOW
    )

    assert second.secret != first.secret
    assert queries.link_of(second.secret, NOW) == second


def test_link_of_shows_nothing_for_a_guess_or_after_its_time(house, order):
    link = send(house, order)

    assert queries.link_of(link.secret, NOW) == link
    assert queries.link_of(link.secret[:-1] + ("a" if link.secret[-1] != "a" else "b"), NOW) is None
    assert queries.link_of(link.secret[:19], NOW) is None
    assert queries.link_of("", NOW) is None
    assert queries.link_of("x" * 65, NOW) is None
    assert queries.link_of(link.secret, link.expires_at - timedelta(seconds=1)) == link
    assert queries.link_of(link.secret, link.expires_at) is None


def test_waiting_for_owner_lists_only_the_newest_version(house):
    written, declined, overdue, answered = (take(house) for _ in range(4))
    open_quote = quote(house, written)
    services.decline_quote(link=send(house, declined), reason="", now=NOW)
    services.send_quote(
        quote=services.prepare_quote(order=declined, by=house.owner, now=NOW), by=house.owner, now=NOW
    )
    send(house, overdue)
    accept(house, answered)

    soon = queries.waiting_for_owner(house.workshop, NOW)
    later = queries.waiting_for_owner(house.workshop, NOW + timedelta(days=22))

    assert soon == [open_quote]
    assert [row.order for row in later] == [written, declined, overdue]


def test_quote_of_a_changed_garment_no_longer_lets_it_be_cut(house, order, garment):
    accept(house, order)
    services.change_garment(
        garment=garment,
        expected_version=garment_of(order).version,
        title=garment.title,
        style=garment.style,
        choices={"skirt_length": 700.0},
        cloths={"shell": (house.satin, ""), "interfacing": (house.interfacing, "")},
        by=house.owner,
        now=NOW,
    )
    draft(house, garment)

    assert queries.moves(garment)[0].refusals[0] == (
        "The garment was changed after the quote was accepted: send a new version."
    )
