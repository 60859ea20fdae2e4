"""Machines that are scarce, and which kinds of work need them."""

from __future__ import annotations

from typing import ClassVar

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies: ClassVar = [
        ("planning", "0003_fitting_changes_photos_and_feeds"),
    ]

    operations: ClassVar = [
        migrations.CreateModel(
            name="Machine",
            fields=[
                (
                    "id",
                    models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID"),
                ),
                ("name", models.CharField(max_length=60)),
                ("count", models.PositiveSmallIntegerField(default=1)),
                ("groups", models.JSONField(default=list)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "workshop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="machines",
                        to="people.workshop",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("workshop", "name"), name="machine_once"),
                    models.CheckConstraint(condition=models.Q(("count__gte", 1)), name="machine_count"),
                ],
            },
        ),
    ]
