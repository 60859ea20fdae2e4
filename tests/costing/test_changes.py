from __future__ import annotations

from decimal import Decimal

from costing.changes import Offer, changes

DRESS = {
    "garment_id": 1,
    "title": "Dress",
    "style": "Shift",
    "choices": [["Length", "90 cm"], ["Lining", "none"]],
    "cloths": ["shell: Satin"],
    "amount": "420.00",
}
CONTENT = {"garments": [DRESS], "order": {"due_on": "2027-03-20"}, "terms": "Half first."}


def offer(content=CONTENT, payable="420.00", deposit="210.00", currency="EUR"):
    return Offer(content, Decimal(payable), Decimal(deposit), currency)


def dressed(**changed):
    return {**CONTENT, "garments": [{**DRESS, **changed}]}


def test_changes_of_the_same_are_none():
    assert changes(offer(), offer()) == []


def test_changes_say_what_is_of_another_cloth_choice_and_price():
    after = dressed(
        choices=[["Length", "95 cm"], ["Belt", "tied"]],
        cloths=["shell: Crepe", "lining: Twill"],
        amount="450.00",
    )

    assert changes(offer(), offer(after, "450.00", "225.00")) == [
        "Dress, length: 95 cm instead of 90 cm",
        "Dress, lining: no longer none",
        "Dress, belt: tied",
        "Dress, cloth: Crepe instead of Satin",
        "Dress, lining cloth: Twill",
        "Dress: EUR\u00a0450.00 instead of EUR\u00a0420.00",
        "Price in all: EUR\u00a0450.00 instead of EUR\u00a0420.00",
        "Deposit: EUR\u00a0225.00 instead of EUR\u00a0210.00",
    ]


def test_changes_say_what_was_added_left_out_and_renamed():
    veil = {**DRESS, "garment_id": 2, "title": "Veil", "amount": "30.00"}
    two = {**CONTENT, "garments": [{**DRESS, "title": "Gown", "style": "Sheath"}, veil]}

    assert changes(offer(), offer(two)) == [
        "Added: Veil, EUR\u00a030.00",
        "Dress is now called Gown",
        "Gown, style: Sheath instead of Shift",
    ]
    assert changes(offer({**CONTENT, "garments": [DRESS, veil]}), offer()) == ["Left out: Veil"]


def test_changes_say_another_day_and_other_terms():
    after = {**CONTENT, "order": {"due_on": "2027-04-02"}, "terms": "All first."}

    assert changes(offer(), offer(after)) == [
        "Wanted for 2 April 2027 instead of 20 March 2027",
        "The terms are worded anew",
    ]


def test_changes_name_what_is_new_to_choose():
    after = {**CONTENT, "options": [{"garment_id": 1, "kind": "cloth", "title": "Cloth of Dress"}]}

    assert changes(offer(), offer(after)) == ["New to choose: Cloth of Dress"]
    assert changes(offer(after), offer(after)) == []


def test_changes_are_in_the_decimals_of_the_currency():
    before, after = (offer(dressed(amount=amount), amount, "0", "KWD") for amount in ("40.125", "40.250"))

    assert changes(before, after)[0] == "Dress: KWD\u00a040.250 instead of KWD\u00a040.125"
