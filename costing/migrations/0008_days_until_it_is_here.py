from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("costing", "0007_overhead_by_part_markup_and_learnt_pace")]

    operations = [
        migrations.AddField(
            model_name=name,
            name="days_to_come",
            field=models.PositiveSmallIntegerField(blank=True, null=True),
        )
        for name in ("cloth", "notion")
    ]
