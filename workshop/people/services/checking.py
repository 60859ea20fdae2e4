"""What every service of this room asks of the text and the people it is given."""

from __future__ import annotations

import re
from typing import Any, ClassVar, Protocol

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db.models import Model

from workshop.errors import EditedMeanwhile, Refusal
from workshop.people.models import Staff, Workshop


class Versioned(Protocol):
    """A row that is edited by hand; each edit raises its version."""

    version: int
    _meta: ClassVar[Any]


def refuse_edited(row: Versioned, expected_version: int) -> None:
    """Raises: EditedMeanwhile where the row, which the caller holds, was edited since it was opened."""
    if row.version != expected_version:
        raise EditedMeanwhile(f"Somebody else changed this {row._meta.verbose_name} meanwhile.")


def clean_text(text: str, *, field: str, longest: int, what: str, required: bool = False) -> str:
    """Return the text without outer blanks. Raises: Refusal where it is too long, or empty and required."""
    # NUL cannot be stored by PostgreSQL, and nobody types it.
    plain = str(text).replace("\x00", "").strip()
    if required and not plain:
        raise Refusal(f"Enter {what}.", field=field)
    if len(plain) > longest:
        raise Refusal(f"Shorten {what}: at most {longest} characters, not {len(plain)}.", field=field)
    return plain


def clean_country(code: str) -> str:
    """Return a country's code of ISO 3166-1 in capital letters; empty stays empty. Raises: Refusal."""
    code = code.strip().upper()
    if code and not re.fullmatch("[A-Z]{2}", code):
        raise Refusal("Write the country with its two letters, such as PT.", field="country")
    return code


def clean_email(text: str, *, field: str = "email") -> str:
    """Return the address, or an empty text for none. Raises: Refusal."""
    plain = clean_text(text, field=field, longest=254, what="the email address")
    if plain:
        try:
            validate_email(plain)
        except ValidationError:
            raise Refusal(
                f"{plain[:60]} is not an email address; write it like ada@example.org.", field=field
            ) from None
    return plain


def require_owner(by: Staff | None, doing: str) -> None:
    """Raises: Refusal where an apprentice does what the owner decides. No staff = the service itself."""
    if by is not None and not by.is_owner:
        raise Refusal(f"Only the owner can {doing}; ask them.")


def require_same_workshop(workshop: Workshop, *rows: Model | None) -> None:
    """Raises: Refusal where a row is of another workshop: it is spoken of as if it did not exist."""
    for row in rows:
        if row is not None and getattr(row, "workshop_id", None) != workshop.pk:
            raise Refusal(f"There is no such {row._meta.verbose_name} in this workshop.")
