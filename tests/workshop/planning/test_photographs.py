"""Photographs of fittings: consent, what is taken out of the file, who sees them, and when they go."""

from __future__ import annotations

import hashlib
import os
from datetime import date, timedelta
from io import BytesIO
from pathlib import Path

import pytest
import time_machine
from PIL import Image

from tests.workshop.planning.conftest import NOW, make_garment, make_place, make_staff, make_task
from workshop.errors import Refusal
from workshop.jobs.services.routine import request_daily
from workshop.orders.models import Stage
from workshop.people.models import LogEntry, Role
from workshop.people.services import erase_wearer, note_photo_consent
from workshop.planning import queries
from workshop.planning.models import FittingPhoto
from workshop.planning.queries.photographs import photo_storage, workshops_with_photos
from workshop.planning.rules.photographs import (
    LONGEST_SIDE,
    MOST_BYTES,
    BadPhotograph,
    encode_anew,
    folder_of,
)
from workshop.planning.services import (
    add_photo,
    book_fitting,
    cancel_fitting,
    delete_photo,
    withdraw_photo_consent,
)
from workshop.planning.services.photo_files import sweep_photo_files
from workshop.planning.services.photographs import MOST_PHOTOS, erase_due_photos

HOUR = timedelta(hours=1)
GPS, MAKE, ORIENTATION = 0x8825, 0x010F, 0x0112
BESIDE = ("exif", "icc_profile", "comment", "xmp")


@pytest.fixture(autouse=True)
def files(settings, tmp_path) -> Path:
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


def picture(colour="teal", *, size=(80, 40), kind="JPEG", exif=None) -> bytes:
    written = BytesIO()
    options = {} if exif is None else {"exif": exif}
    Image.new("RGB", size, colour).save(written, kind, **options)
    return written.getvalue()


def taken_by_a_telephone() -> bytes:
    """A photograph that says where it was taken and by what, and lies on its side."""
    exif = Image.Exif()
    exif[MAKE] = "Telephone of Clara"
    exif[ORIENTATION] = 6
    exif.get_ifd(GPS).update({1: "N", 2: (38.0, 43.0, 0.0), 3: "W", 4: (9.0, 8.0, 0.0)})
    return picture(exif=exif)


def test_encode_anew_takes_out_what_the_camera_wrote_and_sets_it_upright():
    sent = taken_by_a_telephone()
    with Image.open(BytesIO(sent)) as opened:
        assert opened.getexif()[MAKE] == "Telephone of Clara"
        assert opened.getexif().get_ifd(GPS)[1] == "N"

    kept = encode_anew(sent)

    assert b"Telephone" not in kept.content
    assert b"Exif" not in kept.content
    with Image.open(BytesIO(kept.content)) as opened:
        assert (opened.format, opened.size) == ("JPEG", (40, 80)) == ("JPEG", (kept.width, kept.height))
        assert not opened.getexif()
        assert not set(BESIDE) & set(opened.info)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_encode_anew_makes_it_small_and_keeps_its_proportions(kind):
    kept = encode_anew(picture(size=(4000, 1000), kind=kind))

    assert (kept.width, kept.height) == (LONGEST_SIDE, LONGEST_SIDE // 4)
    assert kept.content[:2] == b"\xff\xd8"


def test_encode_anew_lays_what_is_clear_on_white():
    written = BytesIO()
    Image.new("RGBA", (8, 8), (255, 0, 0, 0)).save(written, "PNG")

    with Image.open(BytesIO(encode_anew(written.getvalue()).content)) as opened:
        assert opened.getpixel((4, 4)) == (255, 255, 255)


@pytest.mark.parametrize(
    ("sent", "message"),
    [
        (b"", "no photograph known here"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no photograph known here"),
        (b"%PDF-1.7", "no photograph known here"),
        (picture(kind="GIF"), "no photograph known here"),
        (picture(size=(900, 900))[:600], "damaged|no photograph"),
        (b"\xff\xd8" + b"\x00" * 40, "damaged|no photograph"),
        (b"\x00" * (MOST_BYTES + 1), "larger than 15 MB"),
        (picture(size=(10_000, 7000), kind="PNG"), "too many points"),
    ],
    ids=["nothing", "svg", "pdf", "gif", "cut off", "broken", "large", "bomb"],
)
def test_encode_anew_refuses_what_is_no_photograph(sent, message):
    with pytest.raises(BadPhotograph, match=message):
        encode_anew(sent)


@pytest.fixture
def fitting(place):
    garment = make_garment(place.workshop, stage=Stage.FIT)
    return book_fitting(garment=garment, starts_at=NOW + 2 * HOUR, now=NOW, by=place.ada)


@pytest.fixture
def agreed(place, fitting):
    note_photo_consent(wearer=fitting.garment.wearer, by=place.ada, now=NOW)
    return fitting


def add(place, fitting, sent=None, **changes):
    return add_photo(
        **{"fitting": fitting, "sent": sent or picture(), "by": place.ada, "now": NOW, **changes}
    )


def on_disk(files: Path) -> list[Path]:
    return sorted(path for path in files.rglob("*") if path.is_file())


def test_add_photo_refuses_without_consent(place, fitting, files):
    with pytest.raises(Refusal, match="Ask Clara first and note the consent"):
        add(place, fitting)

    assert (FittingPhoto.objects.count(), on_disk(files)) == (0, [])


def test_consent_for_a_minor_is_the_guardians(place, fitting):
    wearer = fitting.garment.wearer
    wearer.is_minor, wearer.guardian = True, "Dora"
    wearer.save(update_fields=["is_minor", "guardian"])
    fitting.refresh_from_db()
    with pytest.raises(Refusal, match="Ask Dora, the guardian, first"):
        add(place, fitting)

    noted = note_photo_consent(wearer=wearer, by=place.ada, now=NOW)

    assert (noted.photo_consent_by, noted.photo_consent_on) == ("Dora", NOW.date())
    assert add(place, fitting).fitting == fitting
    assert "Dora" not in str(list(LogEntry.objects.values()))


def test_note_photo_consent_is_the_owners_and_noted_once(place, fitting):
    wearer = fitting.garment.wearer
    with pytest.raises(Refusal, match="Only the owner can note a consent"):
        note_photo_consent(wearer=wearer, by=place.bo, now=NOW)

    note_photo_consent(wearer=wearer, by=place.ada, now=NOW)
    again = note_photo_consent(wearer=wearer, by=place.ada, now=NOW + timedelta(days=3))

    assert again.photo_consent_on == NOW.date()
    assert LogEntry.objects.filter(action="note photo consent").count() == 1


def test_add_photo_keeps_it_anew_and_once(place, agreed, files):
    sent = taken_by_a_telephone()

    photo = add(place, agreed, sent)
    again = add(place, agreed, sent)

    (kept,) = on_disk(files)
    assert again == photo
    assert photo.keep_until_on == date(2026, 3, 24)  # a year on: the wearer has no day of their own
    assert (photo.width, photo.height, photo.taken_by) == (40, 80, place.ada)
    assert photo.sha256 == hashlib.sha256(kept.read_bytes()).hexdigest()
    assert b"Telephone" not in kept.read_bytes()
    assert "Clara" not in kept.name


def test_add_photo_refuses_more_than_are_needed_and_a_cancelled_fitting(place, agreed):
    for number in range(MOST_PHOTOS):
        add(place, agreed, picture((20 * number, 0, 0)))
    with pytest.raises(Refusal, match="12 photographs are enough"):
        add(place, agreed, picture("white"))

    cancel_fitting(fitting=agreed, now=NOW, by=place.ada)
    agreed.refresh_from_db()
    with pytest.raises(Refusal, match="was cancelled"):
        add(place, agreed, picture("white"))


def test_photographs_are_seen_by_those_who_work_on_the_garment(place, agreed):
    photo = add(place, agreed)
    other = make_place()
    sewer = make_staff(place.workshop, "Cy", Role.APPRENTICE, ["alter"])
    make_task(agreed.garment, 100, "alter", 20, staff=sewer)

    def sees(staff):
        return queries.photo_for(staff, photo.pk, NOW) == photo

    assert [sees(staff) for staff in (place.ada, sewer, place.bo, other.ada)] == [True, True, False, False]


@pytest.mark.django_db(transaction=True)
def test_delete_photo_and_consent_taken_back_leave_no_file(files):
    place = make_place()
    garment = make_garment(place.workshop, stage=Stage.FIT)
    fitting = book_fitting(garment=garment, starts_at=NOW + 2 * HOUR, now=NOW, by=place.ada)
    note_photo_consent(wearer=garment.wearer, by=place.ada, now=NOW)
    first, _, _ = (add(place, fitting, picture(colour)) for colour in ("red", "green", "blue"))

    delete_photo(photo=first, by=place.ada, now=NOW)
    assert len(on_disk(files)) == 2

    assert withdraw_photo_consent(wearer=garment.wearer, by=place.ada, now=NOW) == 2
    garment.wearer.refresh_from_db()
    assert (on_disk(files), FittingPhoto.objects.count()) == ([], 0)
    assert (garment.wearer.photo_consent_by, garment.wearer.photo_consent_on) == ("", None)


@pytest.mark.django_db(transaction=True)
def test_erase_wearer_takes_the_photographs_and_a_refused_erasure_does_not(files):
    place = make_place()
    garment = make_garment(place.workshop, stage=Stage.FIT)
    fitting = book_fitting(garment=garment, starts_at=NOW + 2 * HOUR, now=NOW, by=place.ada)
    note_photo_consent(wearer=garment.wearer, by=place.ada, now=NOW)
    add(place, fitting)

    with pytest.raises(Refusal, match="still in work"):
        erase_wearer(wearer=garment.wearer, reason="asked", by=place.ada, now=NOW)
    assert (FittingPhoto.objects.count(), len(on_disk(files))) == (1, 1)

    type(garment).objects.update(stage=Stage.DELIVERED)
    erased = erase_wearer(wearer=garment.wearer, reason="asked", by=place.ada, now=NOW)

    assert (FittingPhoto.objects.count(), on_disk(files)) == (0, [])
    assert (erased.photo_consent_by, erased.photo_consent_on) == ("", None)


def test_photographs_go_by_themselves_after_their_day(place, agreed, run_jobs):
    photo = add(place, agreed)
    last_day = NOW + timedelta(days=365)

    for moment, left in ((last_day, 1), (last_day + timedelta(days=1), 0)):
        assert (queries.photo_for(place.ada, photo.pk, moment) is not None) == bool(left)
        with time_machine.travel(moment, tick=False):
            request_daily(now=moment)
            run_jobs()
        assert FittingPhoto.objects.count() == left


def orphan(workshop, *, hours: int, name="lost.jpg") -> Path:
    """A file in the workshop's folder that no photograph knows, so many hours old."""
    path = Path(photo_storage().path(f"{folder_of(workshop.pk)}/2025/03/{name}"))
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(picture())
    written = (NOW - hours * HOUR).timestamp()
    os.utime(path, (written, written))
    return path


def test_a_file_that_lost_its_row_is_swept_by_the_daily_job(place, agreed, files, run_jobs):
    photo = add(place, agreed)
    kept = Path(photo.file.path)
    os.utime(kept, (0, 0))
    lost, fresh = orphan(place.workshop, hours=24), orphan(place.workshop, hours=23, name="fresh.jpg")
    elsewhere = files / "fittings" / "2024" / "01" / "old.jpg"
    elsewhere.parent.mkdir(parents=True)
    elsewhere.write_bytes(b"of an earlier release")

    with time_machine.travel(NOW, tick=False):
        request_daily(now=NOW)
        run_jobs()

    assert not lost.exists()
    assert on_disk(files) == sorted([kept, fresh, elsewhere])
    assert sweep_photo_files(workshop=place.workshop, now=NOW) == 0
    assert sweep_photo_files(workshop=place.workshop, now=NOW + HOUR) == 1


def test_sweeping_leaves_the_workshop_next_door_alone(place, agreed, files):
    other = make_place()
    theirs = orphan(other.workshop, hours=100)

    assert sweep_photo_files(workshop=place.workshop, now=NOW) == 0

    assert on_disk(files) == [theirs]
    assert list(workshops_with_photos(NOW)) == [other.workshop]


def test_photographs_go_with_the_wearers_own_day_where_it_is_sooner(place, agreed):
    add(place, agreed)
    type(agreed.garment.wearer).objects.update(keep_until_on=date(2025, 4, 1))

    assert erase_due_photos(workshop=place.workshop, now=NOW + timedelta(days=8)) == 0
    assert erase_due_photos(workshop=place.workshop, now=NOW + timedelta(days=9)) == 1
    assert erase_due_photos(workshop=place.workshop, now=NOW + timedelta(days=9)) == 0
