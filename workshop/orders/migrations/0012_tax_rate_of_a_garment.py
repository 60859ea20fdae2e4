from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    """Garments that are there keep the usual rate."""

    dependencies = [("people", "0009_tax_rates"), ("orders", "0011_lengths_really_cut")]

    operations = [
        migrations.AddField(
            "garment",
            "tax_rate",
            models.ForeignKey(
                blank=True,
                null=True,
                on_delete=models.RESTRICT,
                related_name="garments",
                to="people.taxrate",
            ),
        ),
    ]
