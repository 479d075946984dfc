"""Ivory that was seen elsewhere than on the keys: few of all that was examined."""

from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('instruments', '0016_perhaps_of_ivory'),
        ('shop', '0045_few_among_many'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddIndex(
            model_name='clearance',
            index=models.Index(condition=models.Q(('inlay_ivory', ''), _negated=True), fields=['instrument'], name='clearance_with_inlay'),
        ),
    ]
