from django.db import models
from django.db.models import F, Q
from django.urls import reverse

from instruments.models import folded, holding, rare_words
from instruments.models.saving import KeptHistory, SavedInWords
from shop.calc.telephones import FEWEST_DIGITS, LIKE_A_NUMBER, digits_of, telling_digits
from shop.models.profile import ShopProfile


class PersonQuerySet(models.QuerySet):
    def standing(self):
        """Cards that may be chosen: not joined with another, and not closed at the person's request."""
        return self.filter(merged_into__isnull=True, closed_on__isnull=True)

    def search(self, text: str):
        found, words = self, text.replace("\0", " ")  # PostgreSQL cannot be asked about a NUL
        for match in LIKE_A_NUMBER.finditer(words):
            digits = telling_digits(match.group(), ShopProfile.current().tax_country)
            if len(digits) >= FEWEST_DIGITS:
                found = found.filter(self._holds(match.group()) | self._holds(digits))
                words = words.replace(match.group(), " ")
        return found.filter(self._holds(words))

    def _holds(self, words: str) -> Q:
        """Every word of it stands on the card."""
        return holding(words, rare=rare_words(self.model, words))


class Person(SavedInWords):
    """Somebody the shop deals with: a seller, a customer, often both.

    Two cards of one person are joined by a pointer: what was written under either keeps its own card for
    good, and every list and sum goes over all the `rows()` of the person.
    """

    name = models.CharField(max_length=120)
    address = models.TextField(max_length=400, blank=True)
    telephone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    note = models.TextField(max_length=4000, blank=True)
    search_text = models.TextField(blank=True, editable=False)
    merged_into = models.ForeignKey(
        "self", null=True, blank=True, editable=False, on_delete=models.PROTECT, related_name="doubles"
    )
    closed_on = models.DateField("closed at their request on", null=True, blank=True, editable=False)

    history = KeptHistory(
        excluded_fields=["search_text"], history_change_reason_field=models.TextField(null=True)
    )
    objects = PersonQuerySet.as_manager()

    class Meta:
        ordering = ["name", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(merged_into__isnull=True) | ~Q(merged_into=F("id")),
                name="person_is_not_a_double_of_itself",
            ),
        ]
        indexes = [models.Index(fields=["name", "id"], name="person_by_name")]

    def __str__(self) -> str:
        return self.name

    def save(self, *args, **kwargs):
        cards = [self, *(self.doubles.all() if self.pk else ())]
        words = (
            f"{card.name} {card.address} {card.telephone} {card.email} {digits_of(card.telephone)}"
            for card in cards
        )
        self.search_text = folded(" ".join(words))
        super().save(*args, **kwargs)

    def get_absolute_url(self) -> str:
        return reverse("shop:person_page", args=[self.standing_id])

    @property
    def standing_id(self) -> int:
        return self.merged_into_id or self.pk

    @property
    def standing_card(self) -> "Person":
        """The card that counts: this one, or the one it was joined with."""
        return self.merged_into or self

    def rows(self) -> PersonQuerySet:
        """Every card of this person, as a query to be used inside another."""
        return Person.objects.filter(Q(pk=self.standing_id) | Q(merged_into=self.standing_id))

    def whole(self, relation: str) -> models.QuerySet:
        """What stands under a relation of any card of this person: `person.whole("payments")`."""
        related = self._meta.get_field(relation)
        return related.related_model._default_manager.filter(**{f"{related.field.name}__in": self.rows()})
