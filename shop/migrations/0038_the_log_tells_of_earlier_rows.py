"""The log begins with a line for each row of money and ownership that was there before it, sealed at once.

The tables of the package that counted wrong passwords before go: nothing in them is of use any more.
"""

from itertools import islice

from django.db import migrations

from shop.calc.log_chain import COLUMNS, START, seal_hash

# (model, kind, by whom)
EARLIER = (
    ("Purchase", "owner", "recorded_by_id"),
    ("SellerPayment", "money", "recorded_by_id"),
    ("CostLine", "money", "recorded_by_id"),
    ("AskingPrice", "money", "set_by_id"),
    ("Sale", "owner", "recorded_by_id"),
    ("Payment", "money", "recorded_by_id"),
    ("CreditEntry", "money", "recorded_by_id"),
    ("PayOut", "money", "recorded_by_id"),
    ("Deduction", "money", "recorded_by_id"),
    ("SaleEnding", "owner", "recorded_by_id"),
    ("BookLine", "money", "recorded_by_id"),
)
AT_A_TIME = 2_000
GONE = ("axes_accessattemptexpiration", "axes_accessattempt", "axes_accessfailurelog", "axes_accesslog")


def begin(apps, schema_editor):
    for name, kind, by in EARLIER:
        model = apps.get_model("shop", name)
        rows = model._default_manager.order_by("pk").values("pk", by, "recorded_at").iterator(AT_A_TIME)
        words = f"{model._meta.verbose_name} {{pk}}, written before the log began"
        line = apps.get_model("shop", "LogLine")
        while batch := list(islice(rows, AT_A_TIME)):
            line.objects.bulk_create(
                line(
                    at=row["recorded_at"],
                    kind=kind,
                    who_id=row[by],
                    what=words.format(**row),
                    subject=model._meta.label_lower,
                    row=row["pk"],
                )
                for row in batch
            )
    seal(apps.get_model("shop", "LogLine"), apps.get_model("shop", "LogSeal"), apps.get_model("shop", "LogHead"))


def seal(line, seals, heads):
    position, before = 0, START
    rows = line.objects.order_by("id").values(*COLUMNS).iterator(AT_A_TIME)
    while batch := list(islice(rows, AT_A_TIME)):
        made = []
        for row in batch:
            position += 1
            before = seal_hash(before, position, row)
            made.append(seals(position=position, line_id=row["id"], sha256=before))
        seals.objects.bulk_create(made)
    if position:
        heads.objects.create(pk=1, count=position, sha256=before)


class Migration(migrations.Migration):
    dependencies = [("shop", "0037_signing_in_and_the_log")]

    operations = [
        migrations.RunPython(begin, migrations.RunPython.noop),
        *(migrations.RunSQL(f"DROP TABLE IF EXISTS {table}", migrations.RunSQL.noop) for table in GONE),
    ]
