from __future__ import annotations

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("costing", "0005_care_swatches_and_flaws"),
        ("orders", "0006_operation_lists_are_revised"),
        ("people", "0004_fit_in_figures"),
    ]

    operations = [
        migrations.AddField("garmentcloth", "way", models.CharField(max_length=12, blank=True)),
        migrations.AddField("layplan", "need_mm", models.FloatField(default=0), preserve_default=False),
        migrations.AddField("layplan", "cut_mm", models.FloatField(default=0), preserve_default=False),
        migrations.AddField(
            "layplan", "joint_number", models.PositiveSmallIntegerField(null=True, blank=True)
        ),
        migrations.AddField(
            "layplan",
            "single",
            models.ForeignKey(
                "orders.layplan",
                django.db.models.deletion.SET_NULL,
                null=True,
                blank=True,
                related_name="+",
            ),
        ),
        migrations.AddField(
            "layplan",
            "on_length",
            models.ForeignKey(
                "costing.stockmove",
                django.db.models.deletion.SET_NULL,
                null=True,
                blank=True,
                related_name="+",
            ),
        ),
        migrations.CreateModel(
            name="JointLay",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("shell", "shell"),
                            ("lining", "lining"),
                            ("interfacing", "interfacing"),
                        ],
                        max_length=12,
                    ),
                ),
                ("output", models.JSONField()),
                ("length_mm", models.FloatField()),
                ("buy_length_mm", models.FloatField()),
                ("single_mm", models.FloatField()),
                ("utilisation", models.FloatField()),
                ("created_at", models.DateTimeField()),
                ("dissolved_at", models.DateTimeField(null=True, blank=True)),
                ("dissolved_reason", models.CharField(max_length=300, blank=True)),
                (
                    "cloth",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="costing.cloth"
                    ),
                ),
                (
                    "workshop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="joint_lays",
                        to="people.workshop",
                    ),
                ),
            ],
        ),
        migrations.AddField(
            "layplan",
            "joint",
            models.ForeignKey(
                "orders.jointlay",
                django.db.models.deletion.CASCADE,
                null=True,
                blank=True,
                related_name="parts",
            ),
        ),
        migrations.AddConstraint(
            "layplan",
            models.UniqueConstraint(fields=["joint", "joint_number"], name="joint_number_once"),
        ),
        migrations.AddConstraint(
            "layplan",
            models.CheckConstraint(
                condition=models.Q(joint__isnull=True, joint_number__isnull=True)
                | models.Q(joint__isnull=False, joint_number__isnull=False),
                name="part_has_a_number",
            ),
        ),
    ]
