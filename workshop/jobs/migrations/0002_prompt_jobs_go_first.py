from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("jobs", "0001_first_rooms")]

    operations = [
        migrations.AddField(model_name="job", name="prompt", field=models.BooleanField(default=False)),
    ]
