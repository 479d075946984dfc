"""What was found of protected material in an instrument, and the paper that lets us deal in it."""

from datetime import date
from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Exists, OuterRef, Q

from instruments.calc.edtf import bounds
from instruments.models import AppendOnly, Document, Instrument
from instruments.states import COVERINGS_THAT_MAY_BE_IVORY, Covering
from shop.calc.protected import Condition, Law
from shop.models.purchase import Purchase
from shop.models.sale import Sale
from shop.protected_states import Grain, IvoryKind, PaperHolder, ProtectedPaper, Rosewood, Seam
from shop.states import PurchaseRoute

OFFERING = "offering"
MOST_PIECES = 104
PIECES = ("head_length_mm", "head_width_mm", "tail_length_mm", "tail_width_mm", "thickness_mm")


def millimetres(name: str, largest: int):
    return models.DecimalField(
        name,
        max_digits=5,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0.1")), MaxValueValidator(Decimal(largest))],
    )


class ClearanceQuerySet(models.QuerySet):
    def newest_of(self, instrument_path: str):
        """The newest of the instrument that the outer query names; the newest holds."""
        newer = Clearance.objects.filter(instrument=OuterRef("instrument"), pk__gt=OuterRef("pk"))
        return self.filter(~Exists(newer), instrument=OuterRef(instrument_path))

    def that_clear(self, law: Law):
        """What `shop.protected` says of offering, asked of the database; a test compares the two."""
        return self.filter(self._there_is_none() | self._only_free_ivory(law) | self._with_paper(law))

    def _there_is_none(self) -> Q:
        return Q(no_protected_material=True) & ~_covered_with({Covering.IVORY})

    def _only_free_ivory(self, law: Law) -> Q:
        """Said to be of a kind, on the keys and elsewhere, that this law leaves free to offer."""
        blocked = law.blocked_materials(OFFERING)
        free = [kind for kind in IvoryKind if kind not in blocked]
        keys = ~_covered_with({Covering.UNKNOWN}) & (
            ~_covered_with(COVERINGS_THAT_MAY_BE_IVORY) | Q(key_ivory__in=free)
        )
        return keys & ~Q(inlay_ivory__in=blocked)

    def _with_paper(self, law: Law) -> Q:
        kinds = law.papers_to(OFFERING)
        stands = Q(paper__in=kinds - law.ends_with_owner) | (
            Q(paper__in=kinds & law.ends_with_owner) & ~self._ended()
        )
        for condition in law.day_limits(OFFERING):
            stands &= ~_too_late(condition)
        return ~Q(reference="") & stands

    def _ended(self) -> Q:
        bought = Purchase.objects.filter(instrument=OuterRef("instrument"), corrected_by__isnull=True)
        ours = bought.exclude(route=PurchaseRoute.SALE_OR_RETURN).filter(
            Q(bought_on__isnull=False) | Q(price_minor__isnull=False)
        )
        dated = ours.filter(bought_on__isnull=False)
        sold = Sale.objects.filter(instrument=OuterRef("instrument"))
        return (
            Q(Exists(sold.filter(sold_on__gte=OuterRef("issued_on"))))
            | (Q(issued_on__isnull=True) & Q(Exists(sold)))
            | (Q(in_name_of=PaperHolder.SELLER) & Q(Exists(ours)))
            | (
                ~Q(in_name_of=PaperHolder.SELLER)
                & (
                    (Q(issued_on__isnull=True) & Q(Exists(dated)))
                    | Q(Exists(dated.filter(bought_on__gt=OuterRef("issued_on"))))
                )
            )
        )


def _covered_with(coverings) -> Q:
    return Q(instrument__natural_covering__in=coverings) | Q(instrument__sharp_covering__in=coverings)


def _too_late(condition: Condition) -> Q:
    """Made, or with ivory added, on the limit or after by every day that its date allows."""
    if condition.fails != "blocked":
        return Q(pk__isnull=True)
    late = Q(made_earliest__gte=condition.limit) | Q(made="", instrument__made_earliest__gte=condition.limit)
    if condition.counts_added:
        late |= Q(added_earliest__gte=condition.limit)
    return late & Q(certificate="") if condition.unless_certificate else late


class Clearance(AppendOnly):
    """One examination for ivory and other protected material; the newest holds, the earlier stay on file."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="clearances")
    found = models.CharField("what was found", max_length=200)
    how = models.CharField("how it was examined", max_length=200)
    seam = models.CharField("seam of the naturals", max_length=9, choices=Seam, blank=True)
    grain = models.CharField("grain under raking light", max_length=8, choices=Grain, blank=True)
    no_protected_material = models.BooleanField("there is no ivory in it", default=False)
    key_ivory = models.CharField("whose ivory is on the keys", max_length=14, choices=IvoryKind, blank=True)
    inlay_ivory = models.CharField("ivory anywhere else in it", max_length=14, choices=IvoryKind, blank=True)
    rosewood = models.CharField(
        "rosewood in case, veneer or inlay", max_length=25, choices=Rosewood, blank=True
    )
    other_found = models.CharField("other woods and inlay", max_length=200, blank=True)
    made = models.CharField("made, by the evidence", max_length=60, blank=True)
    made_earliest = models.DateField(null=True, blank=True, editable=False)
    is_documented = models.BooleanField("that date is documented", default=False)
    dating_evidence = models.CharField("what dates it", max_length=200, blank=True)
    dating_document = models.ForeignKey(
        Document,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        verbose_name="paper that dates it",
    )
    added_taken = models.CharField("ivory added later was taken from the wild", max_length=60, blank=True)
    added_earliest = models.DateField(null=True, blank=True, editable=False)
    paper = models.CharField("kind of paper", max_length=12, choices=ProtectedPaper, blank=True)
    reference = models.CharField("its reference", max_length=60, blank=True)
    issued_on = models.DateField(null=True, blank=True)
    in_name_of = models.CharField("in whose name", max_length=6, choices=PaperHolder, blank=True)
    certificate = models.CharField("certificate for 1947 to 1974 besides", max_length=60, blank=True)
    permit = models.CharField("permit for export", max_length=60, blank=True)
    scan = models.ForeignKey(
        Document,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        verbose_name="scan of the paper",
    )
    pieces = models.PositiveSmallIntegerField(
        "naturals with ivory", null=True, blank=True, validators=[MaxValueValidator(MOST_PIECES)]
    )
    head_length_mm = millimetres("head, length", 100)
    head_width_mm = millimetres("head, width", 40)
    tail_length_mm = millimetres("tail, length", 150)
    tail_width_mm = millimetres("tail, width", 40)
    thickness_mm = millimetres("thickness", 10)
    note = models.CharField(max_length=300, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = ClearanceQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(no_protected_material=True, reference="") | Q(no_protected_material=False),
                name="clearance_without_material_has_no_reference",
            ),
            models.CheckConstraint(
                condition=Q(no_protected_material=False) | Q(key_ivory="", inlay_ivory=""),
                name="clearance_without_ivory_names_none",
            ),
            models.CheckConstraint(
                condition=Q(paper="") | ~Q(reference=""), name="clearance_paper_has_a_reference"
            ),
        ]
        indexes = [
            models.Index(fields=["instrument"], condition=~Q(inlay_ivory=""), name="clearance_with_inlay")
        ]

    def __str__(self) -> str:
        return self.reference or self.found

    def save(self, *args, **kwargs):
        self.made_earliest, self.added_earliest = _begins(self.made), _begins(self.added_taken)
        super().save(*args, **kwargs)

    @property
    def is_measured(self) -> bool:
        return bool(self.pieces) and all(getattr(self, name) is not None for name in PIECES)


def _begins(dated: str) -> date | None:
    return bounds(dated)[0] if dated else None
