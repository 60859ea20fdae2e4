from __future__ import annotations

from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("orders", "0008_ways_and_needs_of_lays_that_are_there")]

    operations = [migrations.RemoveField("garmentcloth", "folded")]
