from __future__ import annotations

from typing import Any

from django.db import migrations


def say_takes(apps: Any, schema_editor: Any) -> None:
    """A lay on one length takes all that it needs of it, and its garment stays on that length."""
    cloths = apps.get_model("orders", "GarmentCloth").objects
    for lay in apps.get_model("orders", "LayPlan").objects.filter(on_length__isnull=False):
        take = {"length": lay.on_length_id, "name": "", "need_mm": lay.need_mm, "cut_mm": lay.cut_mm}
        lay.takes = [take]
        lay.save(update_fields=["takes"])
        if lay.superseded_at is None:
            cloths.filter(garment=lay.draft.garment_id, role=lay.role).update(lengths=[lay.on_length_id])


def say_lengths(apps: Any, schema_editor: Any) -> None:
    """A lay on several lengths is left without one: any that is long enough then serves it."""
    for lay in apps.get_model("orders", "LayPlan").objects.exclude(takes=[]):
        if len(lay.takes) == 1:
            lay.on_length_id = lay.takes[0]["length"]
            lay.save(update_fields=["on_length"])


class Migration(migrations.Migration):
    dependencies = [("orders", "0013_lays_on_several_lengths")]

    operations = [migrations.RunPython(say_takes, say_lengths)]
