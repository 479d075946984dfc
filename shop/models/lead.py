"""A piano somebody offers, from the first call to a decision with its reason. What is said stays as told."""

import hashlib

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.crypto import salted_hmac

from instruments.models import AppendOnly, Instrument
from instruments.models.photo import StoredPicture
from instruments.models.saving import KeptHistory
from instruments.states import Kind
from shop.models.person import Person
from shop.states import LEADS_THAT_WAIT, HowFound, LeadState, ProtectedTold


class LeadQuerySet(models.QuerySet):
    def waiting(self):
        """Looked up by their state: by their number the database would go through those decided long ago."""
        return self.filter(pk__in=Lead.objects.filter(state__in=LEADS_THAT_WAIT).order_by().values("pk"))


class Lead(models.Model):
    number = models.CharField(max_length=20, unique=True)
    person = models.ForeignKey(
        Person,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="leads",
        verbose_name="on file as",
    )
    caller = models.CharField("who called", max_length=120, blank=True)
    telephone = models.CharField(max_length=40, blank=True)
    email = models.EmailField("e-mail", blank=True)
    how_found = models.CharField("how they found us", max_length=6, choices=HowFound, blank=True)
    place = models.CharField("where it stands", max_length=200, blank=True)
    maker = models.CharField("maker, as shown", max_length=120)
    kind = models.CharField(max_length=8, choices=Kind, blank=True)
    height_cm = models.DecimalField("height or length", max_digits=5, decimal_places=1, null=True, blank=True)
    key_count = models.PositiveSmallIntegerField(
        "how many keys", null=True, blank=True, validators=[MinValueValidator(20), MaxValueValidator(120)]
    )
    serial = models.CharField("serial number, as read out", max_length=40, blank=True)
    age_told = models.CharField("how old they say it is", max_length=60, blank=True)
    age_why = models.CharField("why they say so", max_length=200, blank=True)
    last_tuned = models.CharField(max_length=100, blank=True)
    last_moved = models.CharField(max_length=100, blank=True)
    every_note = models.CharField("every note, heard over the telephone", max_length=300, blank=True)
    protected_told = models.CharField(
        "what they say of ivory", max_length=9, choices=ProtectedTold, blank=True
    )
    reason_for_sale = models.CharField(max_length=200, blank=True)
    asking_minor = models.PositiveBigIntegerField("what they ask", null=True, blank=True)
    access = models.CharField("floor, steps, turns", max_length=200, blank=True)
    story = models.TextField("what else they told", max_length=4000, blank=True)
    called_on = models.DateField()
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    state = models.CharField(max_length=8, choices=LeadState, default=LeadState.NEW)
    decision = models.CharField("why", max_length=300, blank=True)
    decided_on = models.DateField(null=True, blank=True)
    visit_on = models.DateField("visit", null=True, blank=True)
    offered_minor = models.PositiveBigIntegerField("what we offered", null=True, blank=True)
    instrument = models.OneToOneField(
        Instrument, null=True, blank=True, on_delete=models.PROTECT, related_name="lead"
    )

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = LeadQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(person__isnull=False) | ~Q(caller=""), name="lead_comes_from_somebody"
            ),
            models.CheckConstraint(
                condition=Q(state=LeadState.NEW) | ~Q(decision=""), name="lead_decided_with_a_reason"
            ),
            models.CheckConstraint(
                condition=~Q(state=LeadState.VISIT) | Q(visit_on__isnull=False), name="visit_has_its_day"
            ),
            models.CheckConstraint(
                condition=~Q(state=LeadState.OFFERED) | Q(offered_minor__isnull=False),
                name="offer_has_its_amount",
            ),
            models.CheckConstraint(
                condition=Q(state=LeadState.BOUGHT, instrument__isnull=False)
                | (~Q(state=LeadState.BOUGHT) & Q(instrument__isnull=True)),
                name="bought_lead_became_an_instrument",
            ),
        ]
        indexes = [models.Index(fields=["state", "-id"], name="lead_by_state")]

    def __str__(self) -> str:
        return f"{self.maker} from {self.from_whom}"

    def get_absolute_url(self) -> str:
        return reverse("shop:lead_page", args=[self.number])

    @property
    def from_whom(self) -> str:
        return self.person.name if self.person else self.caller

    @property
    def is_open(self) -> bool:
        return self.state in LEADS_THAT_WAIT

    @property
    def photos_to_look_at(self) -> int:
        """How many have come that nobody has decided on; `photo_count` where the query brought it."""
        if self.state not in (LeadState.NEW, LeadState.PHOTOS):
            return 0
        return self.photo_count if hasattr(self, "photo_count") else self.photos.count()

    @property
    def state_words(self) -> str:
        came = self.photos_to_look_at
        return f"{came} photograph{'s' * (came > 1)} to look at" if came else self.get_state_display()


class PhotoLink(models.Model):
    """An address by which one seller sends photographs, and sees nothing.

    The table holds no address, only what one is checked against: the address itself is worked out from `seed`
    with the secret key of this installation, so that the shop can copy it a second time.
    """

    lead = models.ForeignKey(Lead, on_delete=models.PROTECT, related_name="links")
    seed = models.CharField(max_length=32, unique=True, editable=False)
    token_sha256 = models.CharField(max_length=64, unique=True, editable=False)
    expires_on = models.DateField("open until")
    most_files = models.PositiveSmallIntegerField("most photographs", default=24)
    most_bytes = models.PositiveBigIntegerField(default=250 * 1024 * 1024)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    closed_at = models.DateTimeField(null=True, blank=True)

    history = KeptHistory(
        excluded_fields=["seed", "token_sha256"], history_change_reason_field=models.TextField(null=True)
    )

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"link for photographs, open until {self.expires_on:%-d %B %Y}"

    def get_absolute_url(self) -> str:
        return reverse("photo_send", args=[self.token])

    @property
    def token(self) -> str:
        """256 bits, from the seed and this installation's secret key."""
        return salted_hmac("shop.PhotoLink", self.seed, algorithm="sha256").hexdigest()

    def is_open(self, *, on) -> bool:
        return self.closed_at is None and self.expires_on >= on


def token_hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


class LinkSending(AppendOnly):
    """One time that somebody pressed Send on a link: what was kept of it, and what not."""

    link = models.ForeignKey(PhotoLink, on_delete=models.PROTECT, related_name="sendings")
    kept = models.PositiveSmallIntegerField()
    refused = models.PositiveSmallIntegerField()
    byte_count = models.PositiveBigIntegerField()
    at = models.DateTimeField(auto_now_add=True, db_index=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.kept} kept, {self.refused} refused"


class LeadPhoto(StoredPicture):
    """A photograph of what is offered, by the seller's link or from somebody at work. Never public."""

    lead = models.ForeignKey(Lead, on_delete=models.PROTECT, related_name="photos")
    link = models.ForeignKey(
        PhotoLink, null=True, blank=True, on_delete=models.PROTECT, related_name="photos"
    )
    uploaded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["lead", "sha256"], name="lead_photo_once"),
            models.CheckConstraint(
                condition=Q(link__isnull=False) | Q(uploaded_by__isnull=False),
                name="lead_photo_by_link_or_by_somebody",
            ),
        ]

    def __str__(self) -> str:
        return self.original_name
