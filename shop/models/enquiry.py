"""What strangers ask by the public pages, who sees to it, and what they were told."""

from django.conf import settings
from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.urls import reverse
from django.utils import timezone

from instruments.models import AppendOnly, Instrument
from instruments.models.saving import KeptHistory
from shop.enquiry_states import AskedAbout, EnquiryOutcome, EnquiryWay
from shop.models.person import Person


class EnquiryQuerySet(models.QuerySet):
    def open(self):
        return self.filter(closed_on__isnull=True)

    def real(self):
        """What nobody doubts, or somebody looked at and found real."""
        return self.filter(in_doubt=False)

    def doubtful(self):
        return self.open().filter(in_doubt=True)

    def with_answers(self):
        """Each with `is_answered`: told something, and not by a letter that failed."""
        told = EnquiryAnswer.objects.told().filter(enquiry=OuterRef("pk"))
        return self.annotate(is_answered=Exists(told))

    def seen_by(self, user):
        """Whoever deals with people sees all; others what was given to them, and what they advised on."""
        if user.has_perm("shop.see_people"):
            return self
        advised = EnquiryAnswer.objects.filter(enquiry=OuterRef("pk"), written_by=user)
        return self.real().filter(Q(handler=user) | Exists(advised))


class Enquiry(models.Model):
    number = models.CharField(max_length=20, unique=True)
    mark_sha256 = models.CharField(
        "mark of the form and its words", max_length=64, unique=True, editable=False
    )
    words_sha256 = models.CharField("keyed mark of the words", max_length=64, db_index=True, editable=False)
    about = models.CharField(max_length=8, choices=AskedAbout)
    instrument = models.ForeignKey(
        Instrument, null=True, blank=True, on_delete=models.PROTECT, related_name="enquiries"
    )
    name = models.CharField(max_length=120)
    email = models.EmailField("e-mail", blank=True)
    telephone = models.CharField(max_length=40, blank=True)
    message = models.TextField(max_length=3000)
    tell_me = models.BooleanField("asked to be told of others", default=False)
    agreed_to = models.CharField("the sentence they agreed to", max_length=400)
    came_at = models.DateTimeField()
    answer_by = models.DateField()
    in_doubt = models.BooleanField(default=False)
    doubts = models.CharField(max_length=300, blank=True)
    handler = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="enquiries",
        verbose_name="who sees to it",
    )
    person = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="enquiries"
    )
    outcome = models.CharField(max_length=10, choices=EnquiryOutcome, blank=True)
    closed_why = models.CharField("what became of it", max_length=300, blank=True)
    closed_on = models.DateField(null=True, blank=True)
    erased_on = models.DateField(null=True, blank=True)

    history = KeptHistory(
        excluded_fields=["mark_sha256", "words_sha256"],
        history_change_reason_field=models.TextField(null=True),
    )
    objects = EnquiryQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        verbose_name_plural = "enquiries"
        constraints = [
            models.CheckConstraint(condition=~Q(message=""), name="enquiry_says_something"),
            models.CheckConstraint(
                condition=Q(closed_on__isnull=True, outcome="")
                | (Q(closed_on__isnull=False) & ~Q(outcome="")),
                name="enquiry_closed_with_an_outcome",
            ),
        ]
        indexes = [models.Index(fields=["closed_on", "answer_by"], name="enquiry_by_end")]

    def __str__(self) -> str:
        return f"{self.number}: {self.get_about_display().lower()}"

    def get_absolute_url(self) -> str:
        return reverse("shop:enquiry_page", args=[self.number])

    @property
    def came_on(self):
        return timezone.localdate(self.came_at)

    @property
    def is_open(self) -> bool:
        return self.closed_on is None


class EnquiryAnswerQuerySet(models.QuerySet):
    def told(self):
        failed = Q(sending__was_sent=False)
        return self.exclude(how=EnquiryWay.ADVICE).exclude(failed)


class EnquiryAnswer(AppendOnly):
    """What they were told and how, or what a colleague advises to tell them. Said again, it is a new row."""

    enquiry = models.ForeignKey(Enquiry, on_delete=models.PROTECT, related_name="answers")
    how = models.CharField(max_length=10, choices=EnquiryWay)
    words = models.TextField("what they were told", max_length=4000)
    written_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    written_at = models.DateTimeField(auto_now_add=True)

    objects = EnquiryAnswerQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        verbose_name = "answer to an enquiry"
        verbose_name_plural = "answers to enquiries"
        constraints = [models.CheckConstraint(condition=~Q(words=""), name="enquiry_answer_says_something")]

    def __str__(self) -> str:
        return f"{self.enquiry.number}: {self.get_how_display().lower()}"


class EnquirySending(AppendOnly):
    """What became of an answer sent by e-mail. An answer without one was cut off, perhaps after it went."""

    answer = models.OneToOneField(EnquiryAnswer, on_delete=models.PROTECT, related_name="sending")
    was_sent = models.BooleanField()
    said = models.CharField("what the mail server said", max_length=200, blank=True)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        verbose_name = "sending of an answer"

    def __str__(self) -> str:
        return "sent" if self.was_sent else "not sent"


class Knock(models.Model):
    """That something came in from one address, for a day: the address is kept as a keyed mark alone."""

    address_hmac = models.CharField(max_length=64)
    at = models.DateTimeField(db_index=True)

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["address_hmac", "at"], name="knock_by_address")]

    def __str__(self) -> str:
        return f"knock at {self.at:%H:%M}"
