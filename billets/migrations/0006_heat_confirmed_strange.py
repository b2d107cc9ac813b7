from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('billets', '0005_finish_length'),
    ]

    operations = [
        migrations.AddField(
            model_name='heat',
            name='is_confirmed_strange',
            field=models.BooleanField(default=False),
        ),
    ]
