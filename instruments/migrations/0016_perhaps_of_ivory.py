"""What may hold ivory is found by itself, for those shown that have lost the paper for it."""

from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('instruments', '0015_recordings_and_films_in_words'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddIndex(
            model_name='instrument',
            index=models.Index(condition=models.Q(('natural_covering__in', ('ivory', 'unknown'))), fields=['natural_covering'], name='naturals_perhaps_of_ivory'),
        ),
        migrations.AddIndex(
            model_name='instrument',
            index=models.Index(condition=models.Q(('sharp_covering__in', ('ivory', 'unknown'))), fields=['sharp_covering'], name='sharps_perhaps_of_ivory'),
        ),
    ]
