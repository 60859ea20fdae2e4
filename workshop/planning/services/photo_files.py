"""Files of photographs that no row knows any more: a machine died between the row and its file."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import PurePosixPath

from django.core.files.storage import Storage

from workshop.people.models import Workshop
from workshop.planning.models import FittingPhoto
from workshop.planning.queries.photographs import photo_storage
from workshop.planning.rules.photographs import folder_of

STILL_COMING = timedelta(days=1)
"""A younger file may belong to a row that is just being stored."""


def sweep_photo_files(*, workshop: Workshop, now: datetime) -> int:
    """Delete the files in the workshop's folder that no photograph knows. Returns how many. Twice is once."""
    storage = photo_storage()
    old = [
        name
        for name in _files(storage, folder_of(workshop.pk))
        if storage.get_modified_time(name) <= now - STILL_COMING
    ]
    # After the listing: what is stored meanwhile is known here, what is not listed is not touched.
    known = set(FittingPhoto.objects.filter(workshop=workshop).values_list("file", flat=True))
    left = [name for name in old if name not in known]
    for name in left:
        storage.delete(name)
    return len(left)


def _files(storage: Storage, folder: str) -> Iterator[str]:
    try:
        folders, files = storage.listdir(folder)
    except FileNotFoundError:
        return
    yield from (str(PurePosixPath(folder, name)) for name in files)
    for name in folders:
        yield from _files(storage, str(PurePosixPath(folder, name)))
