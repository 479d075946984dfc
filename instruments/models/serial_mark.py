from django.db import models
from django.db.models import Max, Min, OuterRef, Q, Subquery

from instruments.calc import serial_marks
from instruments.models.saving import KeptHistory
from instruments.models.searching import folded
from instruments.states import Exactness


class SerialMarkQuerySet(models.QuerySet):
    def around(self, maker: str, serial: int):
        """Of each exactness a maker's marks on the nearest number up to a serial and the nearest above."""
        of_maker = self.filter(maker_folded=SerialMark(maker=maker).folded_maker)
        alike = of_maker.filter(exactness=OuterRef("exactness")).order_by().values("exactness")
        below = alike.filter(serial__lte=serial).annotate(nearest=Max("serial")).values("nearest")
        above = alike.filter(serial__gt=serial).annotate(nearest=Min("serial")).values("nearest")
        return of_maker.filter(Q(serial=Subquery(below)) | Q(serial=Subquery(above)))


class SerialMark(models.Model):
    """One number of one maker with its year, by the shop's own files; each with its source."""

    maker = models.CharField(max_length=120)
    maker_folded = models.CharField(max_length=120, editable=False)
    serial = models.PositiveBigIntegerField()
    year = models.PositiveSmallIntegerField()
    exactness = models.CharField("how exact", max_length=6, choices=Exactness, default=Exactness.TABLE)
    source = models.CharField(max_length=200)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = SerialMarkQuerySet.as_manager()

    class Meta:
        ordering = ["maker_folded", "serial", "year"]
        constraints = [
            models.UniqueConstraint(
                fields=["maker_folded", "serial", "year", "source"], name="serial_mark_once_per_source"
            ),
            models.CheckConstraint(condition=~models.Q(source=""), name="serial_mark_names_its_source"),
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.serial}: {self.year}"

    def save(self, *args, **kwargs):
        self.maker_folded = self.folded_maker
        super().save(*args, **kwargs)

    @property
    def folded_maker(self) -> str:
        """The maker as marks are looked up by: without case, accents or spaces around it.

        Folding can lengthen a name ("ß" becomes "ss"), so it is cut to what the column holds.
        """
        return folded(self.maker).strip()[: self._meta.get_field("maker_folded").max_length]

    def as_mark(self) -> serial_marks.SerialMark:
        return serial_marks.SerialMark(self.serial, self.year, self.exactness, self.source)
