"""Overhead by what it is, profit as margin or markup, what a rush adds, and what timed work taught."""

import django.db.models.deletion
from django.db import migrations, models
from django.db.models import Q


def money(**options):
    return models.DecimalField(decimal_places=3, max_digits=14, **options)


class Migration(migrations.Migration):
    dependencies = [
        ("costing", "0006_part_credit_notes_and_refunds"),
        ("people", "0001_first_rooms"),
    ]

    operations = [
        migrations.RemoveConstraint(model_name="rates", name="rates_sensible"),
        # What was one amount stays whole under "all else" until the owner parts it.
        migrations.RenameField("rates", "overhead_per_month", "other_per_month"),
        migrations.AlterField("rates", "other_per_month", money(default=0)),
        migrations.RenameField("rates", "profit_margin", "profit_percent"),
        migrations.AlterField(
            "rates", "profit_percent", models.DecimalField(decimal_places=2, default=15, max_digits=6)
        ),
        migrations.AddField("rates", "profit_is_markup", models.BooleanField(default=False)),
        *(
            migrations.AddField("rates", name, money(default=0))
            for name in ("rent_per_month", "power_per_month", "fuel_per_month", "wear_per_month")
        ),
        migrations.AddField(
            "rates", "rush_percent", models.DecimalField(decimal_places=2, default=25, max_digits=5)
        ),
        migrations.AddField(
            "rates", "repeat_percent", models.DecimalField(decimal_places=2, default=95, max_digits=5)
        ),
        migrations.AddField("rates", "prices_on_learnt", models.BooleanField(default=False)),
        migrations.AddConstraint(
            "rates",
            models.CheckConstraint(
                condition=Q(
                    hourly_wage__gte=0,
                    rent_per_month__gte=0,
                    power_per_month__gte=0,
                    fuel_per_month__gte=0,
                    wear_per_month__gte=0,
                    other_per_month__gte=0,
                    hours_per_month__gt=0,
                    profit_percent__gte=0,
                    round_to__gt=0,
                    minimum_price__gte=0,
                    rush_percent__gte=0,
                    repeat_percent__gte=50,
                    repeat_percent__lte=100,
                )
                & (Q(profit_percent__lt=100) | Q(profit_is_markup=True)),
                name="rates_sensible",
            ),
        ),
        migrations.CreateModel(
            name="LearntPace",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("content", models.JSONField()),
                ("tasks", models.PositiveIntegerField()),
                ("learnt_at", models.DateTimeField()),
                (
                    "workshop",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="learnt_pace",
                        to="people.workshop",
                    ),
                ),
            ],
        ),
    ]
