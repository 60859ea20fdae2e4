"""A cloth on the owner's pages: its care, its picture, its price with the date."""

from __future__ import annotations

from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from costing.models import Cloth
from costing.services import set_swatch
from tests.workshop.desk import made


def picture() -> BytesIO:
    file = BytesIO()
    Image.new("RGB", (60, 40), "teal").save(file, "PNG")
    file.seek(0)
    return file


def sent(owner, cloth, data: bytes, name: str = "satin.png", **more):
    form = {"swatch": SimpleUploadedFile(name, data), **more}
    return owner.post(reverse("desk:set-swatch", args=[cloth.pk]), form)


def test_the_list_shows_care_in_the_order_of_a_label_with_words_and_the_date_of_the_price(house, owner):
    Cloth.objects.filter(pk=house.satin.pk).update(care_professional="p", care_wash="30-mild", care_iron="no")

    page = owner.get(reverse("desk:prices")).text

    words = ["wash at up to 30 °C, mild", "do not iron", "dry clean (P)"]
    places = [page.index(f'aria-label="{text}"') for text in words]
    assert places == sorted(places)
    assert page.count('class="care"') == 3
    assert f"{house.satin.priced_on:%-d %b %Y}" in page


def test_a_picture_is_kept_shown_on_the_list_and_sent_as_a_jpeg(house, owner, apprentice):
    answer = sent(owner, house.satin, picture().read())

    house.satin.refresh_from_db()
    address = reverse("swatch", args=[house.satin.pk])
    shown = apprentice.get(address)
    assert made.told(answer) == ["The picture is kept."]
    assert f'src="{address}?{house.satin.swatch.name}"' in owner.get(reverse("desk:prices")).text.replace(
        "%2F", "/"
    )
    assert shown["Content-Type"] == "image/jpeg"
    assert Image.open(BytesIO(b"".join(shown.streaming_content))).size == (60, 40)


def test_a_picture_is_taken_away(house, owner):
    set_swatch(cloth=house.satin, file=picture())

    owner.post(reverse("desk:set-swatch", args=[house.satin.pk]), {"remove": "1"})

    house.satin.refresh_from_db()
    assert not house.satin.swatch
    assert owner.get(reverse("swatch", args=[house.satin.pk])).status_code == 404


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"<svg onload='alert(1)'/>", "That is no picture that can be read; send a JPEG, PNG or WebP."),
        (b"", "Choose a picture first."),
    ],
)
def test_what_is_no_picture_is_told_and_nothing_is_kept(data, words, house, owner):
    answer = sent(owner, house.satin, data, name="satin.jpg")

    house.satin.refresh_from_db()
    assert (made.told(answer), bool(house.satin.swatch)) == ([words], False)


def test_another_workshop_sees_no_picture(house, next_door):
    set_swatch(cloth=house.satin, file=picture())

    answer = made.signed_in(next_door.owner).get(reverse("swatch", args=[house.satin.pk]))

    assert answer.status_code == 404


def test_the_form_keeps_care_and_right_side(house, owner):
    page = owner.get(reverse("desk:cloth", args=[house.satin.pk]))
    form = {field.html_name: field.value() or "" for field in page.context["form"]}
    del form["one_way"]

    owner.post(
        reverse("desk:cloth", args=[house.satin.pk]),
        {**form, "care_wash": "hand", "care_dry": "flat-shade", "right_side": "the shinier one"},
    )

    house.satin.refresh_from_db()
    assert (house.satin.care_wash, house.satin.care_dry, house.satin.care_bleach) == (
        "hand",
        "flat-shade",
        "",
    )
    assert house.satin.right_side == "the shinier one"
