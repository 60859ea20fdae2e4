from __future__ import annotations

from typing import Any

from django.db import migrations
from django.db.models import F


def say_ways_and_needs(apps: Any, schema_editor: Any) -> None:
    """A cloth that was laid folded stays so; lays made before are bought, and cut, as they said."""
    apps.get_model("orders", "GarmentCloth").objects.filter(folded=True).update(way="folded")
    apps.get_model("orders", "LayPlan").objects.update(need_mm=F("buy_length_mm"), cut_mm=F("length_mm"))


def say_folds(apps: Any, schema_editor: Any) -> None:
    apps.get_model("orders", "GarmentCloth").objects.filter(way="folded").update(folded=True)


class Migration(migrations.Migration):
    dependencies = [("orders", "0007_joint_lays_and_ways")]

    operations = [migrations.RunPython(say_ways_and_needs, say_folds)]
