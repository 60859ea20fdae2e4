"""The signing key of an embedded installation."""

from __future__ import annotations

import os
import secrets
from pathlib import Path


def kept_secret(path: Path) -> str:
    """Return the key kept at ``path``; make it, readable by its owner only, where there is none."""
    try:
        return path.read_text(encoding="ascii")
    except FileNotFoundError:
        path.parent.mkdir(parents=True, exist_ok=True)
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:  # another process was first
        return path.read_text(encoding="ascii")
    with os.fdopen(descriptor, "w", encoding="ascii") as file:
        key = secrets.token_urlsafe(50)
        file.write(key)
    return key
