"""A narrow range of prices is found by its amounts, without asking every instrument for its own."""

from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('instruments', '0014_tone_to_our_ear'),
        ('shop', '0042_note_what_is_settled'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddIndex(
            model_name='askingprice',
            index=models.Index(fields=['amount_minor', 'instrument'], name='asking_price_by_amount'),
        ),
    ]
