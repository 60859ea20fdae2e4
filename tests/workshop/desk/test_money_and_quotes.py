"""Quotes, invoices, payments and credit notes on the owner's pages."""

from __future__ import annotations

import uuid
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone
from django.utils.html import escape

from costing.models import CreditNote, Invoice, Payment, Quote
from costing.rules.crediting import Left
from costing.rules.tax import TaxKey
from costing.services import add_cloth
from tests.workshop.desk import made
from tests.workshop.orders import house as built
from workshop.desk.forms.money import CreditForm
from workshop.orders import services
from workshop.orders.models import Letter, PrivateLink


def test_prepare_quote_of_an_unlaid_order_is_refused_with_what_is_missing(house, owner):
    order = made.take(house)

    answer = owner.post(reverse("desk:prepare-quote", args=[order.number]))

    assert answer.url == reverse("desk:order", args=[order.number])
    assert len(made.told(answer)) == 1
    assert Quote.objects.count() == 0


def test_quote_is_prepared_sent_and_its_link_withdrawn(house, owner):
    garment = made.drafted(house).garment
    built.set_prices(house)
    order = garment.order

    prepared = owner.post(reverse("desk:prepare-quote", args=[order.number]))
    quote = Quote.objects.get()
    sent = owner.post(reverse("desk:send-quote", args=[quote.pk]))
    page = owner.get(reverse("desk:order", args=[order.number]))
    address = page.context["link_address"]
    withdrawn = owner.post(reverse("desk:withdraw-link", args=[order.number]))

    assert prepared.url == reverse("desk:quote", args=[quote.pk])
    assert made.told(sent) == ["Version 1 is sent and frozen. The letter goes to marta@example.org."]
    assert address.endswith(f"/c/{PrivateLink.objects.get().secret}/")
    assert made.told(withdrawn) == ["The link is withdrawn; it shows nothing any more."]
    assert owner.get(reverse("desk:order", args=[order.number])).context["link_address"] == ""


def test_send_quote_twice_is_refused(house, owner):
    quote = made.quoted(house).order.quotes.get()

    answer = owner.post(reverse("desk:send-quote", args=[quote.pk]))

    assert len(made.told(answer)) == 1
    assert "is sent and frozen" not in made.told(answer)[0]


def test_a_quote_that_is_out_can_be_taken_back_once(house, owner):
    quote = made.quoted(house).order.quotes.get()
    address = reverse("desk:withdraw-quote", args=[quote.pk])

    shown = owner.get(reverse("desk:quote", args=[quote.pk])).text
    told = [made.told(owner.post(address)) for _ in range(2)]
    after = owner.get(reverse("desk:quote", args=[quote.pk])).text

    assert told[0] == ["Version 1 is taken back: nobody can answer it any more."]
    assert told[1] == ["Version 1 is withdrawn; it cannot be taken back."]
    assert (address in shown, address in after) == (True, False)


def test_quote_page_says_who_accepted_when_and_in_which_words(house, owner):
    made.accepted(house)
    quote = Quote.objects.get()

    page = owner.get(reverse("desk:quote", args=[quote.pk])).text

    assert f"Accepted by {quote.answered_by} on" in page
    assert quote.accepted_text.splitlines()[0].startswith("Quote version 1: ")
    for line in quote.accepted_text.splitlines():
        assert escape(line) in page


def test_estimate_is_reckoned_anew(house, owner):
    garment = made.drafted(house).garment
    built.set_prices(house)
    address = reverse("desk:estimate", args=[garment.pk])

    answer = owner.post(address)

    assert made.told(answer) == ["Reckoned anew from the price list that holds now."]
    assert owner.get(address).context["estimate"].content["lines"]


@pytest.mark.parametrize("kind", ["", "gift", "final\x00"])
def test_issue_invoice_refuses_an_unknown_kind(kind, house, owner):
    order = made.accepted(house).order
    before = Invoice.objects.count()

    answer = owner.post(reverse("desk:issue-invoice", args=[order.number]), {"kind": kind})

    assert len(made.told(answer)) == 1
    assert Invoice.objects.count() == before


def paying(house, **changes) -> dict[str, object]:
    return {
        "submission": uuid.uuid4(),
        "amount": "50.00",
        "method": "cash",
        "received_on": made.timezone.localdate(timezone=house.workshop.zone),
        **changes,
    }


def test_take_payment_sent_twice_is_one_payment(house, owner):
    order = made.accepted(house).order
    address = reverse("desk:take-payment", args=[order.number])
    form = paying(house)

    first = owner.post(address, form)
    second = owner.post(address, form)

    assert made.told(first) == ["Noted. The receipt is being written."]
    assert second.status_code == 302
    assert [row.amount for row in Payment.objects.all()] == [Decimal("50.000")]


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"amount": ""}, "amount"),
        ({"amount": "0"}, "amount"),
        ({"amount": "-5"}, "amount"),
        ({"amount": "NaN"}, "amount"),
        ({"amount": "inf"}, "amount"),
        ({"amount": "9" * 30}, "amount"),
        ({"amount": "1.005x"}, "amount"),
        ({"method": "shells"}, "method"),
        ({"received_on": ""}, "received_on"),
        ({"received_on": "9999-12-31"}, "received_on"),
        ({"note": "a\x00b"}, "note"),
        ({"note": "x" * 201}, "note"),
        ({"submission": "x"}, "__all__"),
    ],
)
def test_take_payment_refuses_at_the_field(changes, field, house, owner):
    order = made.accepted(house).order

    answer = owner.post(reverse("desk:take-payment", args=[order.number]), paying(house, **changes))

    assert answer.status_code == 200
    assert field in made.faults(answer)
    assert Payment.objects.count() == 0


def test_take_payment_before_anything_is_agreed_is_refused(house, owner):
    order = made.take(house)

    answer = owner.post(reverse("desk:take-payment", args=[order.number]), paying(house))

    assert answer.status_code == 200
    assert made.faults(answer)
    assert Payment.objects.count() == 0


def test_credit_invoice_needs_a_reason_and_is_done_once(house, owner):
    made.accepted(house)
    invoice = Invoice.objects.get()
    address = reverse("desk:credit-invoice", args=[invoice.pk])

    form = {"whole": "yes", "then": "again", "reason": "wrong name"}

    without = owner.post(address, {**form, "reason": " "})
    given = owner.post(address, form)
    again = owner.post(address, form)

    assert made.faults(without) == {"reason": ["This field is required."]}
    assert made.told(given) == ["Credited, with a paper of its own: credit note 2026-0001."]
    assert len(made.faults(again)["__all__"]) == 1
    assert CreditNote.objects.count() == 1


def test_credit_form_asks_of_a_line_for_no_more_than_the_invoice_has_left():
    """A dress of 330.00 on a final invoice from which a deposit of 150.00 was taken off; a veil of 22.00."""
    ten = TaxKey.of(Decimal(10))
    lines = [(words, Left(Decimal(net), ten)) for words, net in (("dress", 300), ("veil", 20))]

    form = CreditForm(currency="EUR", left=Decimal("180.00"), lines=lines)

    assert form.fields["part-0"].help_text == "At most EUR\u00a0180.00."
    assert form.fields["part-1"].help_text == "At most EUR\u00a022.00."


def test_credit_invoice_takes_back_an_amount_of_a_line_and_the_refund_is_for_it(house, owner):
    order = made.accepted(house).order
    invoice = Invoice.objects.get()
    owner.post(reverse("desk:take-payment", args=[order.number]), paying(house, amount="100"))
    form = {"whole": "no", "part-0": "30.00", "then": "less", "reason": "a fault in the cloth"}

    credited = owner.post(reverse("desk:credit-invoice", args=[invoice.pk]), form)
    note = CreditNote.objects.get()
    refunded = paying(house, amount="30", credit_note=note.pk)
    too_much = owner.post(reverse("desk:give-back", args=[order.number]), {**refunded, "amount": "30.01"})
    given = owner.post(
        reverse("desk:give-back", args=[order.number]), {**refunded, "submission": uuid.uuid4()}
    )
    page = owner.get(reverse("desk:order", args=[order.number])).content.decode()

    assert made.told(credited) == [f"Credited, with a paper of its own: {note}."]
    assert (note.payable, note.lowers) == (30, order.quotes.get())
    assert made.faults(too_much) == {
        "amount": ["Only EUR\u00a030.00 of this credit note is not given back yet."]
    }
    assert made.told(given) == ["Noted. The receipt is being written."]
    assert Payment.objects.get(refund=True).credit_note == note
    assert "credit it further" in page
    assert f"for credit note {note.year}-{note.number:04d}" in page


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"then": ""}, "then"),
        ({"whole": "x"}, "whole"),
        ({"part-0": ""}, "__all__"),
        ({"part-0": "-3"}, "part-0"),
        ({"part-0": "0"}, "part-0"),
        ({"part-0": "99999"}, "part-0"),
    ],
)
def test_credit_invoice_refuses_at_the_field(changes, field, house, owner):
    made.accepted(house)
    form = {"whole": "no", "part-0": "30.00", "then": "less", "reason": "a fault in the cloth"}

    answer = owner.post(reverse("desk:credit-invoice", args=[Invoice.objects.get().pk]), {**form, **changes})

    assert field in made.faults(answer)
    assert CreditNote.objects.count() == 0


def doubtful(house) -> Letter:
    order = made.quoted(house).order
    now = timezone.now()
    return Letter.objects.create(
        order=order, name="quote_letter", source_id=order.quotes.get().pk, begun_at=now, doubtful_at=now
    )


@pytest.mark.parametrize(
    ("form", "words", "left"), [({"arrived": "yes"}, "Noted.", 1), ({}, "The letter goes out again.", 0)]
)
def test_a_letter_in_doubt_waits_on_the_rail_for_the_owners_word(form, words, left, house, owner):
    letter = doubtful(house)
    asked = "Say whether the letter of order 1 reached Marta Quist"
    before = [item.words for item in owner.get("/desk/").context["waiting"]]
    shown = owner.get(reverse("desk:order", args=[1])).text

    answer = owner.post(reverse("desk:settle-letter", args=[letter.pk]), form)

    assert asked in before
    assert "The computer stopped while it sent the letter with the quote to marta@example.org." in shown
    assert made.told(answer) == [words]
    assert asked not in [item.words for item in owner.get("/desk/").context["waiting"]]
    assert Letter.objects.count() == left


def test_a_letter_of_another_workshop_is_not_there(house, owner, next_door):
    letter = doubtful(next_door)

    assert owner.post(reverse("desk:settle-letter", args=[letter.pk])).status_code == 404
    assert all("letter" not in item.words for item in owner.get("/desk/").context["waiting"])


def offering(house):
    """An open quote, and a second shell cloth of the price list."""
    order = made.quoted(house).order
    prepared = services.prepare_quote(order=order, by=house.owner, now=timezone.now())
    crepe = add_cloth(
        workshop=house.workshop,
        today=timezone.localdate(),
        use="shell",
        name="Wool crepe",
        width_mm=1500.0,
        price_per_metre=Decimal("48.00"),
    )
    return prepared, crepe


def test_an_alternative_is_offered_and_taken_out_again(house, owner):
    quote, crepe = offering(house)
    garment = quote.order.garments.get()

    offered = owner.post(
        reverse("desk:offer-alternative", args=[quote.pk]), {"garment": garment.pk, "cloth": crepe.pk}
    )
    page = owner.get(reverse("desk:quote", args=[quote.pk])).content.decode()
    dropped = owner.post(reverse("desk:drop-option", args=[quote.pk]), {"place": "0"})

    quote.refresh_from_db()
    assert made.told(offered) == ["The customer can choose that, too."]
    assert "Cloth of" in page
    assert "Wool crepe" in page
    assert made.told(dropped) == ["That choice is taken out."]
    for place in ("0", "x", "-1", "9" * 30):
        again = owner.post(reverse("desk:drop-option", args=[quote.pk]), {"place": place})
        assert made.told(again)[-1] == "This quote has no such choice any more."
    assert quote.content["options"] == []


@pytest.mark.parametrize("form", [{}, {"cloth": "x"}, {"cloth": "999999"}, {"garment": "999999"}])
def test_an_offer_of_nothing_is_refused(form, house, owner):
    quote, _ = offering(house)
    wanted = {"garment": quote.order.garments.get().pk, **form}

    answer = owner.post(reverse("desk:offer-alternative", args=[quote.pk]), wanted)

    quote.refresh_from_db()
    assert answer.status_code == 302
    assert len(made.told(answer)) == 1
    assert quote.content["options"] == []


def test_choices_of_another_workshop_are_not_there(house, owner, next_door):
    quote, _ = offering(next_door)

    for name, args in (
        ("offer-alternative", [quote.pk]),
        ("drop-option", [quote.pk]),
        ("quote", [quote.pk]),
    ):
        address = reverse(f"desk:{name}", args=args)
        assert (owner.get if name == "quote" else owner.post)(address).status_code == 404
