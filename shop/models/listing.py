from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.models import AppendOnly, Instrument
from instruments.models.saving import KeptHistory, SavedInWords
from instruments.states import COVERINGS_THAT_MAY_BE_IVORY
from shop.models.clearance import OFFERING, Clearance
from shop.models.profile import ShopProfile
from shop.models.promise import Promise
from shop.protected_law import law_of
from shop.states import ListingState


class ListingQuerySet(models.QuerySet):
    def in_window(self):
        """Published, promised to nobody, cleared of ivory: to show it is to deal in it (Ivory Act s 1)."""
        promised = Promise.objects.open().filter(instrument=models.OuterRef("instrument"))
        published = self.filter(state=ListingState.PUBLISHED).filter(~models.Exists(promised))
        return published.cleared()

    def cleared(self):
        """What `shop.protected` says of offering, asked of the database; a test compares the two."""
        return self.filter(_is_cleared())

    def left_for_want_of_a_paper(self):
        """Still published, but out of the window: what cleared it has ended, or was found not to do.

        Looked for among what may hold ivory alone, which an index of its own leads to.
        """
        law = law_of(ShopProfile.jurisdiction_now())
        in_question = self.filter(instrument__in=_perhaps_ivory(), state=ListingState.PUBLISHED)
        return in_question.filter(_needs_clearing(law), ~_clearing(law))


def _is_cleared() -> Q:
    law = law_of(ShopProfile.jurisdiction_now())
    return ~_needs_clearing(law) | _clearing(law)


def _needs_clearing(law) -> Q:
    blocked = sorted(law.blocked_materials(OFFERING))
    inlaid = Clearance.objects.newest_of("instrument").filter(inlay_ivory__in=blocked)
    return _covered_with(COVERINGS_THAT_MAY_BE_IVORY) | Q(models.Exists(inlaid))


def _clearing(law) -> Q:
    return Q(models.Exists(Clearance.objects.newest_of("instrument").that_clear(law)))


def _perhaps_ivory() -> models.QuerySet:
    """Keys of the instruments whose keys may be of it, or in which ivory was ever seen elsewhere."""
    kept = Instrument.objects.order_by().values("pk")
    naturals = kept.filter(natural_covering__in=COVERINGS_THAT_MAY_BE_IVORY)
    sharps = kept.filter(sharp_covering__in=COVERINGS_THAT_MAY_BE_IVORY)
    inlaid = Clearance.objects.order_by().exclude(inlay_ivory="")
    return naturals.union(sharps, inlaid.values("instrument"))


def _covered_with(coverings) -> Q:
    return Q(instrument__natural_covering__in=coverings) | Q(instrument__sharp_covering__in=coverings)


class Listing(SavedInWords):
    """What the shop says of an instrument it offers; drafted from the record, then a person's words."""

    instrument = models.OneToOneField(Instrument, on_delete=models.PROTECT, related_name="listing")
    slug = models.SlugField(max_length=80, unique=True)
    headline = models.CharField(max_length=160)
    body = models.TextField("the instrument", max_length=6000, blank=True)
    work_done = models.TextField("what was done", max_length=6000, blank=True)
    not_done = models.TextField("what was not done", max_length=6000, blank=True)
    faults = models.TextField(max_length=6000, blank=True)
    history_words = models.TextField("its history", max_length=6000, blank=True)
    short_text = models.TextField("short text", max_length=1500, blank=True)
    print_words = models.TextField("on the printed sheet", max_length=6000, blank=True)
    social_text = models.TextField("notice for a social network", max_length=3000, blank=True)
    state = models.CharField(max_length=10, choices=ListingState, default=ListingState.DRAFT)
    first_published_at = models.DateTimeField(null=True, blank=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = ListingQuerySet.as_manager()

    class Meta:
        ordering = ["-first_published_at", "-id"]
        indexes = [
            models.Index(fields=["state", "-first_published_at"], name="listing_by_state"),
            models.Index(
                fields=["-id"], condition=~Q(state=ListingState.PUBLISHED), name="listing_not_shown"
            ),
            models.Index(
                fields=["instrument"], condition=Q(state=ListingState.PUBLISHED), name="listing_shown"
            ),
        ]

    def __str__(self) -> str:
        return self.headline

    def get_absolute_url(self) -> str:
        return reverse("listing_public", args=[self.slug])


class Publication(AppendOnly):
    """What stood in the window from a moment on, kept word for word."""

    listing = models.ForeignKey(Listing, on_delete=models.PROTECT, related_name="publications")
    words = models.JSONField()
    sha256 = models.CharField(max_length=64)
    published_at = models.DateTimeField(auto_now_add=True)
    published_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"{self.listing} as published {self.published_at:%d %B %Y}"
