"""Holds and trials that run, and part exchanges, are few among all rows: they are found without the rest."""

from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('instruments', '0014_tone_to_our_ear'),
        ('shop', '0038_the_log_tells_of_earlier_rows'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddIndex(
            model_name='promise',
            index=models.Index(condition=models.Q(('closed_at__isnull', True)), fields=['kind', 'until'], name='open_promise_by_end'),
        ),
        migrations.AddIndex(
            model_name='purchase',
            index=models.Index(condition=models.Q(('allowed_against__isnull', False)), fields=['allowed_against'], name='purchase_in_part_exchange'),
        ),
    ]
