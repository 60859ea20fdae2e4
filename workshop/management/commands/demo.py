"""Load the demo workshop, once, and print its sign-ins."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.db import transaction
from django.utils import timezone

from workshop.management import demo_house, demo_workshop


class Command(BaseCommand):
    help = "Load the demo workshop where it is not there yet, and print its sign-ins."

    def handle(self, *args: Any, **options: Any) -> None:
        if not demo_workshop.is_loaded():
            self.stdout.write("Loading the demo workshop: drafting, laying and pricing a dozen garments ...")
            with transaction.atomic():
                demo_workshop.load(timezone.now(), self.stdout.write)
        self.stdout.write(f"\nThe demo workshop is {demo_house.NAME}. Sign in as one of")
        for username, role in demo_house.SIGN_INS:
            self.stdout.write(f"  {username:<8} {role:<11} password {demo_house.PASSWORD}")
        self.stdout.write("")
