from __future__ import annotations

import django.db.models.deletion
from django.db import migrations, models
from django.db.models import Q


class Migration(migrations.Migration):
    dependencies = [("costing", "0005_care_swatches_and_flaws")]

    operations = [
        migrations.AddField(
            model_name="creditnote",
            name="lowers",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="lowered_by",
                to="costing.quote",
            ),
        ),
        migrations.AddField(
            model_name="payment",
            name="credit_note",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="refunds",
                to="costing.creditnote",
            ),
        ),
        migrations.AddConstraint(
            model_name="payment",
            constraint=models.CheckConstraint(
                condition=Q(credit_note__isnull=True) | Q(refund=True),
                name="payment_of_credit_note_goes_back",
            ),
        ),
    ]
