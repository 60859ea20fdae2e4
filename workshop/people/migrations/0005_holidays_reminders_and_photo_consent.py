"""Where the workshop is, how it deals with fittings, and who consents to photographs."""

from __future__ import annotations

from typing import ClassVar

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies: ClassVar = [
        ("people", "0004_fit_in_figures"),
    ]

    operations: ClassVar = [
        migrations.AddField(
            model_name="client",
            name="reminded",
            field=models.BooleanField(default=True),
        ),
        migrations.AddField(
            model_name="wearer",
            name="photo_consent_by",
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AddField(
            model_name="wearer",
            name="photo_consent_on",
            field=models.DateField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="workshop",
            name="country",
            field=models.CharField(blank=True, max_length=2),
        ),
        migrations.AddField(
            model_name="workshop",
            name="fitting_notice_hours",
            field=models.PositiveSmallIntegerField(default=24),
        ),
        migrations.AddField(
            model_name="workshop",
            name="region",
            field=models.CharField(blank=True, max_length=40),
        ),
        migrations.AddField(
            model_name="workshop",
            name="remind_days_before",
            field=models.PositiveSmallIntegerField(default=2),
        ),
    ]
