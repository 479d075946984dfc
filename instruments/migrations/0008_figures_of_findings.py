"""The one figure that a finding could have is a measured value from now on; the finding itself stays as it is."""

from django.db import migrations

AT_A_TIME = 500


def copy_figures(apps, schema_editor):
    Finding = apps.get_model("instruments", "Finding")
    MeasuredValue = apps.get_model("instruments", "MeasuredValue")
    using = schema_editor.connection.alias
    measured = Finding.objects.using(using).filter(value__isnull=False, values__isnull=True).order_by("pk")
    MeasuredValue.objects.using(using).bulk_create(
        (
            MeasuredValue(finding_id=pk, number=number, unit=unit)
            for pk, number, unit in measured.values_list("pk", "value", "unit").iterator()
        ),
        batch_size=AT_A_TIME,
    )


class Migration(migrations.Migration):
    dependencies = [("instruments", "0007_condition_report")]
    # Back again the figures still stand in their findings, so there is nothing to undo.
    operations = [migrations.RunPython(copy_figures, migrations.RunPython.noop)]
