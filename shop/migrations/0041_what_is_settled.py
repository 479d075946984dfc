"""Sales that are settled carry a note, and those that are not are found without the rest."""

from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('instruments', '0014_tone_to_our_ear'),
        ('shop', '0040_codes_are_good_while_they_are_shown'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name='promise',
            name='is_settled',
            field=models.BooleanField(db_default=False, default=False, editable=False),
        ),
        migrations.AddIndex(
            model_name='listing',
            index=models.Index(condition=models.Q(('state', 'published'), _negated=True), fields=['-id'], name='listing_not_shown'),
        ),
        migrations.AddIndex(
            model_name='sale',
            index=models.Index(fields=['-sold_on', '-id'], name='sale_newest'),
        ),
    ]
