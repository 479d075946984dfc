from django.db import models


class NumberSeries(models.Model):
    """The last number given out in one series of one year; taken inside the transaction that uses it."""

    series = models.CharField(max_length=20)
    year = models.PositiveSmallIntegerField()
    last = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["series", "year"], name="one_row_per_series_and_year")]

    def __str__(self) -> str:
        return f"{self.series} {self.year}: {self.last}"
