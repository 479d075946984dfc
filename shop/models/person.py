from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from instruments.models import folded


class PersonQuerySet(models.QuerySet):
    def search(self, text: str):
        found = self
        for word in folded(text.replace("\0", " ")).split():  # PostgreSQL cannot be asked about a NUL
            found = found.filter(search_text__contains=word)
        return found


class Person(models.Model):
    """Somebody the shop deals with: a seller, a customer, often both."""

    name = models.CharField(max_length=120)
    address = models.TextField(max_length=400, blank=True)
    telephone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    note = models.TextField(max_length=4000, blank=True)
    search_text = models.TextField(blank=True, editable=False)

    history = HistoricalRecords(
        excluded_fields=["search_text"], history_change_reason_field=models.TextField(null=True)
    )
    objects = PersonQuerySet.as_manager()

    class Meta:
        ordering = ["name", "id"]
        indexes = [models.Index(fields=["name", "id"], name="person_by_name")]

    def __str__(self) -> str:
        return self.name

    def save(self, *args, **kwargs):
        self.search_text = folded(f"{self.name} {self.address} {self.telephone} {self.email}")
        super().save(*args, **kwargs)

    def get_absolute_url(self) -> str:
        return reverse("shop:person_page", args=[self.pk])
