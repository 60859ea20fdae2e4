"""Photographs lie in a folder of their workshop; those that are there stay where they are."""

from __future__ import annotations

from typing import ClassVar

from django.db import migrations, models

import workshop.planning.models


class Migration(migrations.Migration):
    dependencies: ClassVar = [
        ("planning", "0004_scarce_machines"),
    ]

    operations: ClassVar = [
        migrations.AlterField(
            model_name="fittingphoto",
            name="file",
            field=models.FileField(upload_to=workshop.planning.models.photo_path),
        ),
    ]
