"""Earlier sales are noted as settled where their rows say so; then what is not settled has its index.

Some thousands at a time, each on its own: cut off in between, it is run again.
"""

from django.conf import settings
from django.db import migrations, models
from django.db.models import Exists, Max, OuterRef, Subquery, Sum
from django.db.models.functions import Coalesce

AT_ONCE = 5_000


def note_settled(apps, schema_editor):
    using = schema_editor.connection.alias
    settled = _settled(apps, using)
    last = settled.model.objects.using(using).aggregate(last=Max('pk'))['last'] or 0
    for first in range(1, last + 1, AT_ONCE):
        some = settled.filter(pk__gte=first, pk__lt=first + AT_ONCE).values_list('pk', flat=True)
        settled.model.objects.using(using).filter(pk__in=list(some)).update(is_settled=True)


def _settled(apps, using):
    promise, handed = apps.get_model('shop', 'Promise'), apps.get_model('shop', 'HandedOver')
    payments = apps.get_model('shop', 'Payment').objects.filter(purpose='price')
    value = _sum(payments) - _sum(apps.get_model('shop', 'CreditEntry').objects.all())
    return promise.objects.using(using).filter(
        Exists(handed.objects.filter(sale__promise=OuterRef('pk'))),
        kind='sale',
        is_settled=False,
        price_minor=value,
    )


def _sum(rows):
    of_it = rows.filter(promise=OuterRef('pk')).order_by().values('promise')
    return Coalesce(Subquery(of_it.annotate(sum=Sum('amount_minor')).values('sum')), 0)


class Migration(migrations.Migration):

    atomic = False

    dependencies = [
        ('shop', '0041_what_is_settled'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RunPython(note_settled, migrations.RunPython.noop),
        migrations.AddIndex(
            model_name='promise',
            index=models.Index(
                condition=models.Q(('closed_at__isnull', True), ('is_settled', False)),
                fields=['kind', 'id'],
                name='promise_not_settled',
            ),
        ),
    ]
