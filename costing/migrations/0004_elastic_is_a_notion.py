from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("costing", "0003_submissions_are_kept_with_people")]

    operations = [
        migrations.AlterField(
            model_name="notion",
            name="kind",
            field=models.CharField(
                choices=[
                    ("thread", "thread"),
                    ("zip", "zip"),
                    ("button", "button"),
                    ("hook", "hook and eye"),
                    ("tape", "tape"),
                    ("elastic", "elastic"),
                    ("other", "other"),
                ],
                max_length=8,
            ),
        ),
    ]
