from __future__ import annotations

from typing import ClassVar

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies: ClassVar = [("people", "0006_e_invoices")]

    operations: ClassVar = [
        migrations.AddField(
            model_name="staff", name="working_week", field=models.JSONField(blank=True, default=list)
        ),
    ]
