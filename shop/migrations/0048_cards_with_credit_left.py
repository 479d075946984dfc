"""Cards under which credit is left are found without adding up every entry that was ever written."""

from django.db import migrations

from shop.db.open_credit import install_open_credit


def find_them(apps, schema_editor):
    install_open_credit(using=schema_editor.connection.alias)


class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0047_listings_that_are_shown'),
    ]

    operations = [
        migrations.RunPython(find_them, migrations.RunPython.noop),
    ]
