from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('orders', '0003_more_pattern_files'),
    ]

    operations = [
        migrations.AddField(
            model_name='garment',
            name='size',
            field=models.CharField(blank=True, max_length=40),
        ),
    ]
