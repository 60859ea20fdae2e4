"""The picture of a cloth: a photograph that was sent, kept small and without what a camera wrote in it."""

from __future__ import annotations

import uuid
import warnings
from io import BytesIO
from typing import IO

from django.core.files.base import ContentFile
from django.db import transaction
from PIL import Image, ImageOps, UnidentifiedImageError

from costing.errors import CostingError
from costing.models import Cloth

MOST_BYTES = 8_000_000
MOST_PIXELS = 40_000_000
SIDE_PX = 480
"""Width and height of what is kept: enough for a list and for a sheet."""
READ_AS = ("JPEG", "PNG", "WEBP")


class BadPicture(CostingError):
    """The file is no picture that can be kept; says which would do."""


def set_swatch(*, cloth: Cloth, file: IO[bytes]) -> Cloth:
    """Keep a picture of a cloth; the one before goes.

    The file's own name, its EXIF and all else but the pixels are left behind. Raises: BadPicture, ``field``
    ``swatch``.
    """
    content = reencoded(file)
    with transaction.atomic():
        held = Cloth.objects.select_for_update().get(pk=cloth.pk)
        before = held.swatch.name
        held.swatch.save(f"{uuid.uuid4().hex}.jpg", ContentFile(content), save=False)
        held.save(update_fields=["swatch"])
        _drop_after_commit(held, before)
    return held


@transaction.atomic
def drop_swatch(*, cloth: Cloth) -> Cloth:
    """Take the picture of a cloth away; none there is fine."""
    held = Cloth.objects.select_for_update().get(pk=cloth.pk)
    before, held.swatch = held.swatch.name, ""
    held.save(update_fields=["swatch"])
    _drop_after_commit(held, before)
    return held


def _drop_after_commit(cloth: Cloth, name: str | None) -> None:
    if name:
        storage = cloth.swatch.storage
        transaction.on_commit(lambda: storage.delete(name))


def reencoded(file: IO[bytes]) -> bytes:
    """Return a picture as a JPEG of at most SIDE_PX a side, upright, with nothing but its pixels.

    Raises: BadPicture: too large, not a picture, broken, or of another kind.
    """
    data = file.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise _bad(f"The picture is larger than {MOST_BYTES // 1_000_000} MB; send a smaller one.")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)  # the size is looked at below
            with Image.open(BytesIO(data), formats=READ_AS) as picture:
                return _small(picture)
    except BadPicture:
        raise
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError, SyntaxError, ValueError) as fault:
        raise _bad("That is no picture that can be read; send a JPEG, PNG or WebP.") from fault


def _small(picture: Image.Image) -> bytes:
    if picture.width * picture.height > MOST_PIXELS:
        raise _bad(f"The picture has more than {MOST_PIXELS // 1_000_000} million dots; send a smaller one.")
    upright = ImageOps.exif_transpose(picture)
    upright.thumbnail((SIDE_PX, SIDE_PX))
    flat = Image.new("RGB", upright.size, "white")  # behind what is see-through
    rgba = upright.convert("RGBA")
    flat.paste(rgba, mask=rgba.getchannel("A"))
    out = BytesIO()
    flat.save(out, "JPEG", quality=85)
    return out.getvalue()


def _bad(words: str) -> BadPicture:
    return BadPicture(words, field="swatch")
