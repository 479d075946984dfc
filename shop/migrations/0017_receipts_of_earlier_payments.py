"""Payments taken before there were receipts get theirs, numbered in the order they were written down."""

from collections import Counter

from django.db import migrations

SERIES, PREFIX = "receipt", "RC"


def give_receipts(apps, schema_editor):
    model = lambda name: apps.get_model("shop", name)  # noqa: E731
    last = Counter()
    payments = model("Payment").objects.filter(receipt__isnull=True).order_by("id")
    for payment in payments.select_related("promise").iterator(chunk_size=200):
        year = payment.paid_on.year
        last[year] += 1
        entries = model("CreditEntry").objects.filter(recorded_at__lte=payment.recorded_at).order_by("id")
        model("Receipt").objects.create(
            number=f"{PREFIX}{payment.paid_on:%y}-{last[year]:03d}",
            payment=payment,
            agreed_minor=agreed(payment, model),
            counted_until=entries.filter(promise=payment.promise_id).last() if payment.promise_id else None,
            pays_out=paid_out(payment, entries),
        )
    for year, number in last.items():
        apps.get_model("instruments", "NumberSeries").objects.update_or_create(
            series=SERIES, year=year, defaults={"last": number}
        )


def agreed(payment, model) -> int | None:
    """The price; for work, the version approved by then and the extras added by then."""
    if payment.promise_id:
        return payment.promise.price_minor
    quotes = model("Quote").objects.filter(
        commission=payment.commission_id, approval__recorded_at__lte=payment.recorded_at
    )
    in_force = quotes.order_by("-version").first()
    if in_force is None:
        return 0
    extras = model("Extra").objects.filter(
        quote__commission=payment.commission_id, recorded_at__lte=payment.recorded_at
    )
    return sum(row.price_minor for row in (*in_force.wishes.all(), *extras))


def paid_out(payment, entries):
    """The entry by which credit went out as this money, written just before it in the same act."""
    if payment.amount_minor > 0 or not payment.promise_id:
        return None
    return entries.filter(
        promise=payment.promise_id,
        kind="paid_out",
        amount_minor=payment.amount_minor,
        receipt__isnull=True,
    ).first()


class Migration(migrations.Migration):

    dependencies = [("shop", "0016_receipts"), ("instruments", "0001_initial")]

    operations = [migrations.RunPython(give_receipts, migrations.RunPython.noop)]
