from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("shop", "0043_asking_prices_by_amount")]

    operations = [
        migrations.RemoveConstraint("papersignature", "signature_is_drawn_or_on_a_paper_on_file"),
        migrations.RemoveConstraint("papersignature", "one_drawn_signature_for_each_signer"),
        migrations.AlterField(
            "papersignature",
            "way",
            models.CharField(
                choices=[
                    ("screen", "On this screen"),
                    ("typed", "By typing the name"),
                    ("paper", "On the printed paper"),
                ],
                max_length=6,
            ),
        ),
        migrations.AddConstraint(
            "papersignature",
            models.CheckConstraint(
                condition=models.Q(way="screen", strokes__isnull=False, document__isnull=True)
                | models.Q(way="typed", strokes__isnull=True, document__isnull=True)
                | models.Q(way="paper", strokes__isnull=True, document__isnull=False),
                name="signature_is_drawn_typed_or_on_file",
            ),
        ),
        migrations.AddConstraint(
            "papersignature",
            models.UniqueConstraint(
                fields=["paper", "signer"],
                condition=models.Q(way__in=["screen", "typed"]),
                name="one_screen_signature_for_each_signer",
            ),
        ),
    ]
