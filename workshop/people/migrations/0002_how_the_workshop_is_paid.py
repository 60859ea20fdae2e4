

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('people', '0001_first_rooms'),
    ]

    operations = [
        migrations.AddField(
            model_name='workshop',
            name='pay_to',
            field=models.TextField(blank=True),
        ),
    ]
