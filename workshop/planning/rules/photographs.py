"""A photograph as it is kept: encoded anew, no larger than is needed, without what the camera wrote into it.

A camera notes the place and the time of taking, itself, and a small copy of the whole picture. None of it
passes: only the picture's own points are drawn into a new file.
"""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO

from PIL import Image, ImageOps, UnidentifiedImageError

MEDIA_TYPE = "image/jpeg"
LONGEST_SIDE = 1600
"""Points: enough to see a fold, too little to print large. Our own choice, no source."""

MOST_BYTES = 15_000_000
MOST_POINTS = 60_000_000
"""Of what is sent. A small file can hold a picture too large for the memory of the computer."""

FORMATS = ("JPEG", "PNG", "WEBP")
_QUALITY = 82


PHOTOS_FOLDER = "fittings"
_OF_WORKSHOP = "w"


def folder_of(workshop_id: int) -> str:
    """Return the folder in which a workshop's photographs lie."""
    return f"{PHOTOS_FOLDER}/{_OF_WORKSHOP}{workshop_id}"


def workshop_of(name: str) -> int | None:
    """Return the key of the workshop whose folder has that name, or None for another folder."""
    key = name.removeprefix(_OF_WORKSHOP)
    return int(key) if name.startswith(_OF_WORKSHOP) and key.isascii() and key.isdigit() else None


class BadPhotograph(ValueError):
    """What was sent cannot be kept as a photograph; the message says why."""


@dataclass(frozen=True, slots=True)
class Photograph:
    """The octets of a JPEG file, and its size in points."""

    content: bytes
    width: int
    height: int


def encode_anew(sent: bytes) -> Photograph:
    """Return the picture that was sent, upright, at most LONGEST_SIDE on a side, with nothing beside it.

    Raises: BadPhotograph for what is too large, or no picture of a known kind.
    """
    if len(sent) > MOST_BYTES:
        raise BadPhotograph(f"It is larger than {MOST_BYTES // 1_000_000} MB; send a smaller photograph.")
    try:
        with Image.open(BytesIO(sent), formats=FORMATS) as opened:
            if opened.width * opened.height > MOST_POINTS:
                raise BadPhotograph("The photograph has too many points; send a smaller one.")
            opened.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))  # a large JPEG is read no finer than it is kept
            upright = ImageOps.exif_transpose(opened)
            upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
            return _drawn(upright)
    except BadPhotograph:
        raise
    except UnidentifiedImageError:
        raise BadPhotograph("That is no photograph known here; send a JPEG, PNG or WebP file.") from None
    # What a broken file makes of a decoder is not one kind of error.
    except (OSError, ValueError, SyntaxError, EOFError, Image.DecompressionBombError):
        raise BadPhotograph("The photograph is damaged; send it again.") from None


def _drawn(picture: Image.Image) -> Photograph:
    """Draw the points on white paper, so that nothing but them is written."""
    seen = picture.convert("RGBA")
    paper = Image.new("RGB", seen.size, "white")
    paper.paste(seen, mask=seen.getchannel("A"))
    written = BytesIO()
    paper.save(written, "JPEG", quality=_QUALITY, optimize=True)
    return Photograph(written.getvalue(), *paper.size)
