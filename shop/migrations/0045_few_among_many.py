"""What is sold, what is looked for and what credit runs out: found by an index that holds nothing else."""

from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('instruments', '0015_recordings_and_films_in_words'),
        ('shop', '0044_signed_by_typing_the_name'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddIndex(
            model_name='creditentry',
            index=models.Index(condition=models.Q(('runs_out_on__isnull', False)), fields=['runs_out_on'], name='credit_that_runs_out'),
        ),
        migrations.AddIndex(
            model_name='promise',
            index=models.Index(condition=models.Q(('closed_at__isnull', True), ('kind', 'sale')), fields=['instrument'], name='promise_sold'),
        ),
        migrations.AddIndex(
            model_name='wanted',
            index=models.Index(condition=models.Q(('closed_on__isnull', True)), fields=['-id'], name='wanted_open'),
        ),
        # Last, since it alone keeps readers out: who reads waits for nothing while indexes are built.
        migrations.RemoveIndex(
            model_name='creditentry',
            name='credit_by_last_day',
        ),
    ]
