from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("orders", "0010_rush_and_discount")]

    operations = [
        migrations.AddField("layplan", "real_cut_mm", models.FloatField(null=True, blank=True)),
    ]
