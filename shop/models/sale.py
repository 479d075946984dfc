from django.conf import settings
from django.db import models
from django.urls import reverse

from instruments.models import AppendOnly, Instrument
from shop.models.person import Person
from shop.models.promise import Promise
from shop.models.trial import Trial


class Sale(AppendOnly):
    """An instrument sold at an agreed price. What has been paid toward it is summed from the ledger."""

    number = models.CharField(max_length=20, unique=True)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="sales")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="purchases_from_us")
    promise = models.OneToOneField(Promise, on_delete=models.PROTECT, related_name="sale")
    price_minor = models.PositiveBigIntegerField()
    sold_on = models.DateField()
    from_trial = models.OneToOneField(
        Trial, null=True, blank=True, on_delete=models.PROTECT, related_name="sale"
    )
    note = models.CharField(max_length=300, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"{self.number}: {self.instrument} to {self.person}"

    def get_absolute_url(self) -> str:
        return reverse("shop:sale_page", args=[self.number])
