"""A picture of a cloth: what is refused, what is kept of it, what goes."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image

from costing.services import drop_swatch, set_swatch
from costing.services.swatches import MOST_BYTES, SIDE_PX, BadPicture
from tests.workshop.orders.house import open_house

ORIENTATION, MAKE = 0x0112, 0x010F


@pytest.fixture
def satin(db, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return open_house().satin


def picture(kind="JPEG", size=(900, 600), colour="teal", **more) -> BytesIO:
    file = BytesIO()
    Image.new("RGBA" if kind == "PNG" else "RGB", size, colour).save(file, kind, **more)
    file.seek(0)
    return file


def kept_bytes(cloth) -> bytes:
    with cloth.swatch.open("rb") as file:
        return file.read()


def kept(cloth) -> Image.Image:
    return Image.open(BytesIO(kept_bytes(cloth)))


def test_set_swatch_keeps_a_small_upright_jpeg_without_exif(satin):
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKE] = 6, "Somebody's camera"

    cloth = set_swatch(cloth=satin, file=picture(exif=exif.tobytes()))

    image = kept(cloth)
    assert (image.format, image.size) == ("JPEG", (320, SIDE_PX))  # turned: 6 means on its side
    assert dict(image.getexif()) == {}
    assert b"camera" not in kept_bytes(cloth)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_set_swatch_reads_the_usual_kinds(kind, satin):
    image = kept(set_swatch(cloth=satin, file=picture(kind)))

    red, green, blue = image.getpixel((10, 10))
    assert (red < 12, abs(green - 128) < 12, abs(blue - 128) < 12) == (True, True, True)


def test_set_swatch_lays_what_is_see_through_on_white(satin):
    image = kept(set_swatch(cloth=satin, file=picture("PNG", colour=(0, 0, 0, 0))))

    assert image.getpixel((5, 5)) == (255, 255, 255)


def test_set_swatch_gives_the_file_a_name_of_its_own(satin):
    file = picture()
    file.name = "../../etc/passwd.jpg"

    cloth = set_swatch(cloth=satin, file=file)

    folder, name = cloth.swatch.name.split("/")
    assert folder == "swatches"
    assert name.endswith(".jpg")
    assert len(name) == 36


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "no picture that can be read"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no picture that can be read"),
        (b"GIF89a" + bytes(40), "no picture that can be read"),
        (picture().read()[:200], "no picture that can be read"),
        (b"\xff\xd8\xff" + bytes(MOST_BYTES), "larger than 8 MB"),
    ],
    ids=["empty", "svg", "gif", "cut short", "too large"],
)
def test_set_swatch_refuses_what_is_no_picture_and_keeps_the_one_before(data, words, satin):
    before = set_swatch(cloth=satin, file=picture()).swatch.name

    with pytest.raises(BadPicture, match=words) as refused:
        set_swatch(cloth=satin, file=BytesIO(data))

    satin.refresh_from_db()
    assert (refused.value.field, satin.swatch.name) == ("swatch", before)


def test_set_swatch_refuses_a_picture_that_would_unpack_to_too_much(satin):
    file = BytesIO()
    Image.new("1", (20_000, 20_000)).save(file, "PNG")
    file.seek(0)
    assert len(file.getvalue()) < 100_000

    with pytest.raises(BadPicture, match=r"million dots|no picture"):
        set_swatch(cloth=satin, file=file)


def test_another_swatch_takes_the_place_of_the_first_and_its_file_goes(
    satin, django_capture_on_commit_callbacks
):
    first = set_swatch(cloth=satin, file=picture()).swatch

    with django_capture_on_commit_callbacks(execute=True):
        second = set_swatch(cloth=satin, file=picture(colour="red")).swatch

    assert second.storage.exists(second.name)
    assert not first.storage.exists(first.name)


def test_drop_swatch_takes_it_away(satin, django_capture_on_commit_callbacks):
    held = set_swatch(cloth=satin, file=picture()).swatch

    with django_capture_on_commit_callbacks(execute=True):
        assert not drop_swatch(cloth=satin).swatch

    assert not held.storage.exists(held.name)
