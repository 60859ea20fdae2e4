from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("people", "0007_working_times_by_weekday")]

    operations = [
        migrations.AddField(
            model_name="workshop",
            name="days_to_come",
            field=models.PositiveSmallIntegerField(default=5),
        ),
    ]
