from __future__ import annotations

from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("orders", "0014_takes_of_lays_that_are_there")]

    operations = [migrations.RemoveField("layplan", "on_length")]
