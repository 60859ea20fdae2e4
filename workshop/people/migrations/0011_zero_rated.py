from __future__ import annotations

from django.db import migrations, models
from django.db.models import Q


class Migration(migrations.Migration):
    dependencies = [("people", "0010_language_of_papers_and_letters")]

    operations = [
        migrations.AddField(
            model_name="taxrate", name="zero_rated", field=models.BooleanField(default=False)
        ),
        migrations.AddConstraint(
            model_name="taxrate",
            constraint=models.CheckConstraint(
                condition=Q(zero_rated=False) | Q(percent=0), name="tax_rate_zero"
            ),
        ),
    ]
