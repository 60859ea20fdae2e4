"""What fittings taught about a wearer, as amounts that each later draft is drawn with."""

from __future__ import annotations

from typing import ClassVar

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies: ClassVar = [("people", "0003_versions_submissions_and_erasing_by_itself")]

    operations: ClassVar = [
        migrations.AddField(
            model_name="wearer", name="fit", field=models.JSONField(blank=True, default=dict)
        ),
    ]
