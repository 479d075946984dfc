"""Items that an order still needs are few among all that were ever written: asked of each order that is open."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('workorders', '0009_open_orders_by_due_day'),
    ]

    operations = [
        migrations.AddIndex(
            model_name='workitem',
            index=models.Index(condition=models.Q(('is_required', True), ('state', 'open')), fields=['order', 'state', 'is_required'], name='work_item_still_required'),
        ),
    ]
