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
    """In the database itself: a shop of a hundred thousand instruments has near a million such rows."""
    line, quote = apps.get_model("shop", "LogLine")._meta, schema_editor.quote_name
    columns = ", ".join(map(quote, ("at", "kind", "who_id", "address", "what", "subject", "row")))
    with schema_editor.connection.cursor() as cursor:
        for name, kind, by in EARLIER:
            model = apps.get_model("shop", name)._meta
            cursor.execute(
                f"INSERT INTO {quote(line.db_table)} ({columns})"  # noqa: S608
                f" SELECT recorded_at, %s, {quote(by)}, '', %s || id || %s, %s, id"
                f" FROM {quote(model.db_table)} ORDER BY id",
                [kind, f"{model.verbose_name} ", ", written before the log began", model.label_lower],
            )
    seal(apps, schema_editor)


def seal(apps, schema_editor):
    position, before = 0, START
    rows = apps.get_model("shop", "LogLine").objects.order_by("id").values(*COLUMNS).iterator(AT_A_TIME)
    table = schema_editor.quote_name(apps.get_model("shop", "LogSeal")._meta.db_table)
    while batch := list(islice(rows, AT_A_TIME)):
        made = []
        for row in batch:
            position += 1
            before = seal_hash(before, position, row)
            made.append((position, row["id"], before))
        with schema_editor.connection.cursor() as cursor:
            cursor.executemany(f"INSERT INTO {table} (position, line_id, sha256) VALUES (%s, %s, %s)", made)  # noqa: S608
    if position:
        apps.get_model("shop", "LogHead").objects.create(pk=1, count=position, sha256=before)


class Migration(migrations.Migration):
    dependencies = [("shop", "0037_signing_in_and_the_log")]

    operations = [
        migrations.RunPython(begin, migrations.RunPython.noop),
        *(migrations.RunSQL(f"DROP TABLE IF EXISTS {table}", migrations.RunSQL.noop) for table in GONE),
    ]
