"""What every printed sheet says about itself."""

from __future__ import annotations

from dataclasses import dataclass

_LONGEST = 60


@dataclass(frozen=True, slots=True)
class Label:
    """Garment, wearer's initials, date and version, as they are printed.

    Only initials are printed: a pattern sheet lies about a workshop for years, and a wearer may be a child.
    Control characters are dropped and long texts are cut at 60 characters, so that any stored text prints.
    """

    garment: str
    wearer_initials: str
    date: str
    version: str

    def __post_init__(self) -> None:
        for name in ("garment", "wearer_initials", "date", "version"):
            object.__setattr__(self, name, _printable(getattr(self, name)))

    @property
    def line(self) -> str:
        """The label on one line; what is empty is left out."""
        version = f"version {self.version}" if self.version else ""
        return " · ".join(part for part in (self.garment, self.wearer_initials, self.date, version) if part)


def _printable(text: str) -> str:
    # A surrogate or a control character is not allowed in XML, and would stop the sheet from being made.
    words = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return words if len(words) <= _LONGEST else words[: _LONGEST - 1].rstrip() + "…"
