"""Cards are found by the digits of their telephone, however it is written."""

from django.db import migrations

from shop.calc.telephones import digits_of


def add_digits(apps, schema_editor):
    people = apps.get_model("shop", "Person").objects
    for card in people.exclude(telephone="").order_by("id").iterator(chunk_size=500):
        for key in filter(None, (card.pk, card.merged_into_id)):
            words = people.filter(pk=key).values_list("search_text", flat=True)[0]
            people.filter(pk=key).update(search_text=f"{words} {digits_of(card.telephone)}")


class Migration(migrations.Migration):
    dependencies = [("shop", "0032_sellers_paid_before")]

    operations = [migrations.RunPython(add_digits, migrations.RunPython.noop)]
