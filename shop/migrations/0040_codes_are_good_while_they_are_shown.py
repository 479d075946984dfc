from django.db import migrations


def only_while_shown(apps, schema_editor):
    apps.get_model("otp_totp", "TOTPDevice").objects.update(tolerance=0)


def half_a_minute_more(apps, schema_editor):
    apps.get_model("otp_totp", "TOTPDevice").objects.update(tolerance=1)


class Migration(migrations.Migration):
    dependencies = [("shop", "0039_indexes_for_what_is_open"), ("otp_totp", "0003_add_timestamps")]
    operations = [migrations.RunPython(only_while_shown, half_a_minute_more)]
