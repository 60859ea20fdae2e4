"""What a fitting changed, its photographs, addresses of calendar feeds, and days closed as public holidays."""

from __future__ import annotations

from typing import ClassVar

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies: ClassVar = [
        ("people", "0005_holidays_reminders_and_photo_consent"),
        ("planning", "0002_late_risk"),
    ]

    operations: ClassVar = [
        migrations.CreateModel(
            name="CalendarFeed",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("secret", models.CharField(max_length=64, unique=True)),
                ("created_at", models.DateTimeField()),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
            ],
        ),
        migrations.CreateModel(
            name="FittingChange",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("position", models.PositiveSmallIntegerField()),
                ("place", models.CharField(blank=True, max_length=30)),
                ("way", models.CharField(blank=True, max_length=12)),
                ("side", models.CharField(blank=True, max_length=5)),
                ("amount_mm", models.FloatField(blank=True, null=True)),
                ("typed", models.CharField(blank=True, max_length=40)),
                ("words", models.CharField(max_length=160)),
                ("fit_note", models.CharField(blank=True, max_length=160)),
            ],
        ),
        migrations.CreateModel(
            name="FittingPhoto",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("file", models.FileField(upload_to="fittings/%Y/%m/")),
                ("width", models.PositiveIntegerField()),
                ("height", models.PositiveIntegerField()),
                ("size_bytes", models.PositiveIntegerField()),
                ("sha256", models.CharField(max_length=64)),
                ("keep_until_on", models.DateField()),
                ("created_at", models.DateTimeField()),
            ],
        ),
        migrations.AddField(
            model_name="closure",
            name="public_holiday",
            field=models.BooleanField(default=False),
        ),
        migrations.AddField(
            model_name="fitting",
            name="signed_by",
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AddConstraint(
            model_name="closure",
            constraint=models.UniqueConstraint(
                condition=models.Q(("public_holiday", True)),
                fields=("workshop", "from_on"),
                name="public_holiday_closed_once",
            ),
        ),
        migrations.AddField(
            model_name="calendarfeed",
            name="staff",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="calendar_feeds", to="people.staff"
            ),
        ),
        migrations.AddField(
            model_name="fittingchange",
            name="fitting",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="changes", to="planning.fitting"
            ),
        ),
        migrations.AddField(
            model_name="fittingchange",
            name="task",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="+",
                to="planning.task",
            ),
        ),
        migrations.AddField(
            model_name="fittingphoto",
            name="fitting",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="photos", to="planning.fitting"
            ),
        ),
        migrations.AddField(
            model_name="fittingphoto",
            name="taken_by",
            field=models.ForeignKey(
                null=True, on_delete=django.db.models.deletion.PROTECT, related_name="+", to="people.staff"
            ),
        ),
        migrations.AddField(
            model_name="fittingphoto",
            name="workshop",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="fitting_photos",
                to="people.workshop",
            ),
        ),
        migrations.AddConstraint(
            model_name="calendarfeed",
            constraint=models.UniqueConstraint(
                condition=models.Q(("withdrawn_at__isnull", True)),
                fields=("staff",),
                name="one_calendar_feed_a_person",
            ),
        ),
        migrations.AddConstraint(
            model_name="fittingchange",
            constraint=models.UniqueConstraint(
                fields=("fitting", "position"), name="fitting_change_position_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="fittingchange",
            constraint=models.CheckConstraint(
                condition=models.Q(("amount_mm__isnull", True), ("amount_mm__gt", 0), _connector="OR"),
                name="fitting_change_amount",
            ),
        ),
        migrations.AddIndex(
            model_name="fittingphoto",
            index=models.Index(fields=["keep_until_on"], name="fitting_photo_by_day"),
        ),
        migrations.AddConstraint(
            model_name="fittingphoto",
            constraint=models.UniqueConstraint(fields=("fitting", "sha256"), name="fitting_photo_once"),
        ),
    ]
