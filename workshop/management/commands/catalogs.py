"""Bring the catalogs of words for customers up to date; ``--add pt`` begins one for another language."""

from __future__ import annotations

from typing import Any

from babel import Locale, UnknownLocaleError
from django.core.management.base import BaseCommand, CommandError, CommandParser

from workshop.management.catalogs import languages_kept, write_catalog


class Command(BaseCommand):
    help = __doc__ or ""
    requires_system_checks: list[str] = []  # noqa: RUF012  Django's own attribute

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--add", metavar="LANGUAGE", help="begin a catalog: pt, pt_BR")

    def handle(self, *args: Any, **options: Any) -> None:
        added = [_folder(options["add"])] if options["add"] else []
        for folder in sorted({*languages_kept(), *added}):
            known, wanting = write_catalog(folder)
            self.stdout.write(f"{folder}: {known} messages, {wanting} without words")


def _folder(language: str) -> str:
    try:
        return str(Locale.parse(language.replace("-", "_")))
    except (UnknownLocaleError, ValueError):
        raise CommandError(f"{language} is not a language; write it like pt or pt_BR.") from None
