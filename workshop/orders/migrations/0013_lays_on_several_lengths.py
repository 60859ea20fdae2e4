from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("orders", "0012_tax_rate_of_a_garment")]

    operations = [
        migrations.AddField("garmentcloth", "lengths", models.JSONField(blank=True, default=list)),
        migrations.AddField("layplan", "takes", models.JSONField(blank=True, default=list)),
    ]
