from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('billets', '0004_blade_sizes'),
    ]

    operations = [
        migrations.AddField(
            model_name='layup',
            name='finish_length_nm',
            field=models.PositiveBigIntegerField(blank=True, null=True),
        ),
    ]
