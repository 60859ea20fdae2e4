from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from costing.models import Quote, QuoteState
from costing.queries import balance_of, quote_out
from costing.services import accept_quote, decline_quote, send_quote, withdraw_quote, write_quote
from costing.services.quotes import QuoteClosed, QuoteExpired
from tests.costing.papers import NOW, TODAY, make_accepted_quote, make_quote

ANSWER = {"name": "Adaeze Nwosu", "text": "I accept version 1.", "today": TODAY, "now": NOW}


def test_write_quote_keeps_totals_deposit_and_version(order):
    quote = make_quote(order, price=Decimal("660.00"))

    quote.refresh_from_db()
    assert (quote.version, quote.state) == (1, QuoteState.OPEN)
    assert (quote.net, quote.tax, quote.gross) == (Decimal("568.97"), Decimal("91.04"), Decimal("660.01"))
    assert (quote.rounding, quote.payable, quote.deposit) == (
        Decimal("-0.01"),
        Decimal("660.00"),
        Decimal("330.00"),
    )


def test_write_quote_again_replaces_what_is_not_sent(order):
    make_quote(order)

    quote = make_quote(order, nets=(Decimal("10.00"),))

    assert [(row.version, row.net) for row in Quote.objects.all()] == [(1, Decimal("10.000"))]
    assert quote.version == 1


def test_write_quote_refuses_a_last_day_that_is_past(order):
    quote = make_quote(order)

    with pytest.raises(QuoteClosed) as caught:
        write_quote(
            workshop=order.workshop,
            order=order,
            content=quote.content,
            totals=None,
            deposit_share=50,
            valid_until_on=TODAY - timedelta(days=1),
            now=NOW,
        )

    assert caught.value.field == "valid_until_on"


def test_a_new_version_is_written_beside_the_accepted_one_and_takes_its_place_when_sent(order):
    first = make_accepted_quote(order)

    second = make_quote(order, nets=(Decimal("700.00"),))
    still = quote_out(order)
    send_quote(quote=second, now=NOW)

    assert still == first
    assert list(Quote.objects.order_by("version").values_list("version", "state")) == [
        (1, "superseded"),
        (2, "sent"),
    ]
    assert Quote.objects.get(version=1).content == first.content


def test_send_quote_twice_is_refused(order):
    quote = send_quote(quote=make_quote(order), now=NOW)

    with pytest.raises(QuoteClosed, match="Version 1 is sent already"):
        send_quote(quote=quote, now=NOW)


def test_send_quote_refuses_one_that_nobody_could_accept(order):
    quote = make_quote(order)

    with pytest.raises(QuoteExpired, match="16 December 2026, is past; prepare the quote anew"):
        send_quote(quote=quote, now=NOW + timedelta(days=30))


def test_the_last_day_of_a_quote_is_a_day_of_the_workshop(order):
    """At 04:00 UTC on the 17th it is still the evening of the 16th in Lima."""
    night = datetime(2026, 12, 17, 4, 0, tzinfo=UTC)
    quote = make_quote(order)

    with pytest.raises(QuoteExpired):
        send_quote(quote=quote, now=night)
    order.workshop.time_zone = "America/Lima"
    order.workshop.save()
    sent = send_quote(quote=Quote.objects.get(), now=night)

    assert sent.state == QuoteState.SENT


def test_accept_quote_keeps_name_time_and_text(order):
    quote = send_quote(quote=make_quote(order), now=NOW)

    accept_quote(quote=quote, **{**ANSWER, "name": "  Adaeze Nwosu "})

    quote.refresh_from_db()
    assert (quote.state, quote.answered_by, quote.accepted_text, quote.answered_at) == (
        QuoteState.ACCEPTED,
        "Adaeze Nwosu",
        "I accept version 1.",
        NOW,
    )


def test_accept_quote_twice_keeps_the_first_answer(order):
    quote = make_accepted_quote(order)

    again = accept_quote(quote=quote, **{**ANSWER, "name": "Somebody else", "now": NOW + timedelta(days=1)})

    assert (again.answered_by, again.answered_at) == ("Adaeze Nwosu", NOW)


def test_accept_quote_refuses_a_blank_name(order):
    quote = send_quote(quote=make_quote(order), now=NOW)

    with pytest.raises(QuoteClosed) as caught:
        accept_quote(quote=quote, **{**ANSWER, "name": "  "})

    assert caught.value.field == "name"


def test_accept_quote_holds_through_its_last_day_and_no_longer(order):
    quote = send_quote(quote=make_quote(order), now=NOW)

    with pytest.raises(QuoteExpired, match="was valid until 16 December 2026"):
        accept_quote(quote=quote, **{**ANSWER, "today": date(2026, 12, 17)})
    accepted = accept_quote(quote=quote, **{**ANSWER, "today": date(2026, 12, 16)})

    assert accepted.state == QuoteState.ACCEPTED


@pytest.mark.parametrize("answer", [accept_quote, decline_quote])
@pytest.mark.parametrize("how", ["withdrawn", "superseded", "unsent"])
def test_an_answer_to_a_version_that_is_not_out_is_refused(order, answer, how):
    quote = make_quote(order)
    if how != "unsent":
        send_quote(quote=quote, now=NOW)
    if how == "withdrawn":
        withdraw_quote(quote=quote, now=NOW)
    if how == "superseded":
        send_quote(quote=make_quote(order), now=NOW)
    words = {"reason": "too dear"} if answer is decline_quote else {"name": "Ada", "text": "yes"}

    with pytest.raises(QuoteClosed, match="ask for the one that holds now"):
        answer(quote=quote, today=TODAY, now=NOW, **words)


def test_decline_quote_keeps_the_reason(order):
    quote = send_quote(quote=make_quote(order), now=NOW)

    decline_quote(quote=quote, reason="  too dear ", today=TODAY, now=NOW)

    quote.refresh_from_db()
    assert (quote.state, quote.decline_reason) == (QuoteState.DECLINED, "too dear")


def test_what_was_agreed_holds_while_a_change_waits_for_its_answer_and_when_it_is_declined(order):
    first = make_accepted_quote(order, price=Decimal("660.00"))
    change = send_quote(quote=make_quote(order, nets=(Decimal("700.00"),)), now=NOW)
    waiting = balance_of(order)

    decline_quote(quote=change, reason="as it was, please", today=TODAY, now=NOW)

    first.refresh_from_db()
    assert (waiting.price, waiting.deposit) == (Decimal("660.00"), first.deposit)
    assert (first.state, quote_out(order), balance_of(order)) == (QuoteState.ACCEPTED, first, waiting)
    third = send_quote(quote=make_quote(order, nets=(Decimal("800.00"),)), now=NOW)
    accept_quote(quote=third, name="Adaeze Nwosu", text="", today=TODAY, now=NOW)
    assert balance_of(order).price == third.payable
    type(order).objects.filter(pk=order.pk).update(cancelled_at=NOW)
    assert balance_of(order).price == 0


def test_a_first_quote_that_is_declined_agrees_nothing(order):
    first = send_quote(quote=make_quote(order), now=NOW)
    decline_quote(quote=first, reason="", today=TODAY, now=NOW)
    again = send_quote(quote=make_quote(order), now=NOW)

    decline_quote(quote=again, reason="", today=TODAY, now=NOW)

    assert set(Quote.objects.values_list("state", flat=True)) == {"declined"}
    assert balance_of(order).price == 0


def test_withdraw_quote_lets_what_was_agreed_hold_once_no_change_is_out(order):
    agreed = make_accepted_quote(order, price=Decimal("660.00"))
    change = send_quote(quote=make_quote(order, nets=(Decimal("700.00"),)), now=NOW)

    withdraw_quote(quote=make_quote(order, nets=(Decimal("800.00"),)), now=NOW)
    still_out = quote_out(order)
    withdraw_quote(quote=change, now=NOW)

    assert (still_out, quote_out(order)) == (change, agreed)
    assert quote_out(order).state == QuoteState.ACCEPTED


def test_withdraw_quote_refuses_an_accepted_one(order):
    with pytest.raises(QuoteClosed, match="cannot be taken back"):
        withdraw_quote(quote=make_accepted_quote(order), now=NOW)


def test_the_database_refuses_a_quote_that_does_not_add_up(order):
    quote = make_quote(order)

    with pytest.raises(IntegrityError), transaction.atomic():
        Quote.objects.filter(pk=quote.pk).update(gross=quote.gross + Decimal("0.01"))


def test_the_database_takes_amounts_that_floating_point_would_not_add_up(order):
    """0.1 + 0.2 is not 0.3 in floating point; 0.10 + 0.20 = 0.30 in money."""
    quote = make_quote(order)

    Quote.objects.filter(pk=quote.pk).update(net=Decimal("0.10"), tax=Decimal("0.20"), gross=Decimal("0.30"))

    quote.refresh_from_db()
    assert quote.gross == Decimal("0.30")


def test_the_database_refuses_two_quotes_that_are_out(order):
    first = send_quote(quote=make_quote(order), now=NOW)
    second = make_quote(order)

    with pytest.raises(IntegrityError), transaction.atomic():
        Quote.objects.filter(pk=second.pk).update(state=QuoteState.SENT)

    assert quote_out(order) == first
