from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("people", "0005_holidays_reminders_and_photo_consent")]

    operations = [
        migrations.AddField(
            model_name="client", name="country", field=models.CharField(blank=True, default="", max_length=2), preserve_default=False
        ),
        migrations.AddField(
            model_name="workshop", name="vat_number", field=models.CharField(blank=True, default="", max_length=20), preserve_default=False
        ),
        migrations.AddField(
            model_name="workshop", name="tax_exemption", field=models.CharField(blank=True, default="", max_length=200), preserve_default=False
        ),
        migrations.AddField(model_name="workshop", name="e_invoices", field=models.BooleanField(default=False)),
    ]
