"""Orders that are open and wanted by a day are few among all: they are found without the rest."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('workorders', '0008_time_by_day'),
    ]

    operations = [
        migrations.AddIndex(
            model_name='workorder',
            index=models.Index(condition=models.Q(('state', 'open')), fields=['due_on', 'id'], name='open_order_by_due_day'),
        ),
    ]
