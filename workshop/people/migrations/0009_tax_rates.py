from __future__ import annotations

from django.db import migrations, models
from django.db.models import Q


class Migration(migrations.Migration):
    dependencies = [("people", "0008_days_until_what_is_ordered_is_here")]

    operations = [
        migrations.CreateModel(
            name="TaxRate",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "workshop",
                    models.ForeignKey(
                        on_delete=models.CASCADE, related_name="tax_rates", to="people.workshop"
                    ),
                ),
                ("name", models.CharField(max_length=40)),
                ("percent", models.DecimalField(decimal_places=2, max_digits=5)),
                ("archived_at", models.DateTimeField(blank=True, null=True)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=Q(percent__gte=0, percent__lt=100), name="tax_rate_percent"
                    ),
                    models.UniqueConstraint(
                        condition=Q(archived_at=None), fields=("workshop", "name"), name="tax_rate_name_once"
                    ),
                ]
            },
        ),
    ]
