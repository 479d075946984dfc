"""What was bought before payments to sellers were written down counts as paid, on the day it was bought."""

from django.db import migrations

REFERENCE = "Counts as paid: written before payments were"
PAID_ELSEWHERE = ("part_exchange", "returnable")


def count_as_paid(apps, schema_editor):
    payments = apps.get_model("shop", "SellerPayment").objects
    purchases = apps.get_model("shop", "Purchase").objects.filter(corrected_by__isnull=True, price_minor__gt=0)
    for purchase in purchases.exclude(route__in=PAID_ELSEWHERE).order_by("id").iterator(chunk_size=200):
        if not payments.filter(purchase__instrument=purchase.instrument_id).exists():
            payments.create(
                purchase=purchase,
                amount_minor=purchase.price_minor,
                method="",
                reference=REFERENCE,
                paid_on=purchase.bought_on or purchase.recorded_at.date(),
                recorded_by_id=purchase.recorded_by_id,
            )


class Migration(migrations.Migration):
    dependencies = [("shop", "0031_payments_to_sellers")]

    operations = [migrations.RunPython(count_as_paid, migrations.RunPython.noop)]
