"""Which of a page of instruments are shown in the window: asked of those that are, by their instrument."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0046_clearances_with_an_inlay'),
    ]

    operations = [
        migrations.AddIndex(
            model_name='listing',
            index=models.Index(condition=models.Q(('state', 'published')), fields=['instrument'], name='listing_shown'),
        ),
    ]
