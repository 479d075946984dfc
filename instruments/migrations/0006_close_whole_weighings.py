"""Until now every weigh-off was written down whole: it is closed, by whoever weighed, when it was recorded."""

from django.db import migrations


def close_what_is_there(apps, schema_editor):
    weighing = apps.get_model("instruments", "Weighing")
    closing = apps.get_model("instruments", "WeighingClosing")
    closing.objects.bulk_create(
        closing(weighing_id=row.pk, closed_by_id=row.weighed_by_id, closed_at=row.recorded_at)
        for row in weighing.objects.filter(closing__isnull=True)
    )


class Migration(migrations.Migration):
    dependencies = [("instruments", "0005_weighing_goes_on")]

    operations = [migrations.RunPython(close_what_is_there, migrations.RunPython.noop)]
