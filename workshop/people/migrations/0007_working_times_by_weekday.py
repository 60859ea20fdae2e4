from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("people", "0006_e_invoices")]

    operations = [
        migrations.AddField(
            model_name="staff", name="working_week", field=models.JSONField(blank=True, default=list)
        ),
    ]
