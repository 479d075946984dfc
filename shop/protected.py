"""What is on file of one instrument's protected materials, and what may be done with it by our law."""

from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from django.db.models import QuerySet

from instruments.models import Instrument
from instruments.models.together import alongside, asked, asking
from instruments.models.worded import ASKED, of_one
from instruments.states import CaseWood, Covering, MadeBasis
from shop.calc.ivory import ivory_mass_g, ivory_share, key_ivory_cm3, rough_material_cm3
from shop.calc.protected import (
    ACTS,
    BLOCKED,
    FREE,
    LACKING,
    PERMIT,
    UNSETTLED,
    Known,
    Law,
    Verdict,
    verdict_on,
    worst,
)
from shop.calc.registrations import Owning, ended_because
from shop.models import Clearance, Purchase, Sale, ShopProfile
from shop.protected_law import law_of
from shop.protected_states import IvoryKind, PaperHolder, Rosewood
from shop.states import PurchaseRoute

NOTHING = Verdict(FREE, "No ivory and no protected wood is recorded in it.", "", "")
BASES_THAT_DO_NOT_DOCUMENT = {"", MadeBasis.TOLD, MadeBasis.STYLE}


@dataclass(frozen=True)
class Amount:
    """Ivory of the key coverings by their own measures, and how much of the instrument that is, roughly."""

    volume_cm3: Decimal
    mass_g: Decimal
    whole_cm3: Decimal | None
    whole_is: str

    @property
    def share(self) -> Decimal | None:
        return ivory_share(self.volume_cm3, self.whole_cm3) if self.whole_cm3 else None

    @property
    def share_percent(self) -> Decimal | None:
        return None if self.share is None else self.share * 100


@dataclass(frozen=True)
class ProtectedFile:
    """One instrument with the newest clearance; law and owners are looked up where they matter."""

    instrument: Instrument
    clearance: Clearance | None

    @cached_property
    def law(self) -> Law:
        return law_of(ShopProfile.current().jurisdiction)

    @cached_property
    def owning(self) -> Owning:
        return owning_of(self.instrument)

    def verdict(self, act: str) -> Verdict:
        materials = self.materials(act)
        if not materials:
            return NOTHING
        known = self._known(act)
        return worst(verdict_on(self.law, each, act, known) for each in materials)

    @property
    def verdicts(self) -> list[tuple[str, Verdict]]:
        return [(words, self.verdict(act)) for act, words in ACTS.items()]

    def materials(self, act: str) -> list[str]:
        found = [self._on_the_keys, self.clearance.inlay_ivory if self.clearance else "", self._wood(act)]
        return list(dict.fromkeys(filter(None, found)))

    @property
    def _on_the_keys(self) -> str:
        if Covering.IVORY in self.instrument.coverings:
            kind = self.clearance.key_ivory if self.clearance else ""
            return UNSETTLED if Covering.UNKNOWN in self.instrument.coverings else kind or IvoryKind.ELEPHANT
        said_to_be_free = self.clearance is not None and self.clearance.no_protected_material
        return UNSETTLED if self.instrument.may_be_ivory and not said_to_be_free else ""

    def _wood(self, act: str) -> str:
        species = self.clearance.rosewood if self.clearance else ""
        if species:
            return "" if species == Rosewood.NONE else species
        may_be = self.instrument.case_wood == CaseWood.ROSEWOOD and act == "exporting"
        return "unsettled_rosewood" if may_be else ""

    def ended(self, act: str) -> str:
        """Why the paper on file stands no longer, in a clause; "" while it stands or where there is none."""
        paper = self.clearance
        if paper is None or not paper.reference or paper.paper not in self.law.ends_with_owner:
            return ""
        return ended_because(
            in_sellers_name=paper.in_name_of == PaperHolder.SELLER,
            issued_on=paper.issued_on,
            owning=self.owning,
            to_buy=act == "buying",
        )

    def _known(self, act: str) -> Known:
        paper = self.clearance or Clearance()
        amount = self.amount
        is_own = bool(paper.made)
        return Known(
            papers=frozenset(self._papers(act)),
            lacking=self._lacking(act),
            certificate=bool(paper.certificate),
            made=paper.made or self.instrument.made,
            documented=paper.is_documented
            if is_own
            else self.instrument.made_basis not in BASES_THAT_DO_NOT_DOCUMENT,
            added=paper.added_taken,
            share=amount.share if amount else None,
            mass_g=amount.mass_g if amount else None,
        )

    def _papers(self, act: str) -> list[str]:
        paper = self.clearance
        if paper is None:
            return []
        standing = [paper.paper] if paper.reference and not self.ended(act) else []
        return [*standing, *([PERMIT] if paper.permit else [])]

    def _lacking(self, act: str) -> str:
        paper = self.clearance
        if paper is None:
            return LACKING
        if paper.no_protected_material:
            return "the clearance on file says that there is none"
        if not paper.reference:
            return LACKING
        name = f"the {(paper.get_paper_display() or 'paper').lower()} on file, {paper.reference},"
        return f"{name} {self.ended(act) or 'is not the paper that this takes'}"

    @property
    def amount(self) -> Amount | None:
        paper = self.clearance
        if paper is None or not paper.is_measured:
            return None
        head = (paper.head_length_mm, paper.head_width_mm, paper.thickness_mm)
        tail = (paper.tail_length_mm, paper.tail_width_mm, paper.thickness_mm)
        volume = key_ivory_cm3(paper.pieces, head, tail)
        instrument = self.instrument
        whole, whole_is = rough_material_cm3(
            weight_kg=instrument.weight_kg,
            sides_cm=(instrument.height_cm or instrument.length_cm, instrument.width_cm, instrument.depth_cm),
        )
        return Amount(volume, ivory_mass_g(volume), whole, whole_is)


class FileOfOneOffered(ProtectedFile):
    """Of a piano that is not ours yet and has no number: nobody owned it that we know of."""

    owning = Owning()


@asking
def protected_file_of(instrument: Instrument):
    """As `ProtectedFile`, with the owners, in one query."""
    clearance = asked.later(_newest_clearance(instrument.pk))
    clearances, owning = yield from alongside(clearance, owning_of.later(instrument))
    file = ProtectedFile(instrument, clearances.first())
    file.__dict__["owning"] = owning
    return file


@of_one
def _newest_clearance() -> QuerySet[Clearance]:
    rows = Clearance.objects.filter(instrument=ASKED)
    return rows.select_related("recorded_by", "scan", "dating_document")[:1]


@asking
def owning_of(instrument: Instrument):
    purchases, sold = yield _newest_purchase(instrument.pk), _last_day_sold(instrument.pk)
    bought, sold_on = purchases.first(), next(iter(sold), None)
    if bought is None or bought.route == PurchaseRoute.SALE_OR_RETURN:
        return Owning(sold_on=sold_on)
    is_ours = bought.bought_on is not None or bought.price_minor is not None
    return Owning(is_ours=is_ours, bought_on=bought.bought_on, sold_on=sold_on)


@of_one
def _newest_purchase() -> QuerySet[Purchase]:
    return Purchase.objects.filter(instrument=ASKED)[:1]


@of_one
def _last_day_sold() -> QuerySet:
    rows = Sale.objects.filter(instrument=ASKED).order_by("-sold_on")
    return rows.values_list("sold_on", flat=True)[:1]


@asking
def verdict_of(instrument: Instrument, act: str):
    """Blocked, cautioned or free, for one of `ACTS`; KeyError for any other act."""
    return (yield from protected_file_of.later(instrument)).verdict(act)


@asking
def standing_reference(instrument: Instrument, act: str = "offering"):
    """The reference of the paper that lets us do so; "" where none is needed or none stands."""
    return reference_in((yield from protected_file_of.later(instrument)), act)


def reference_in(file: ProtectedFile, act: str = "offering") -> str:
    if not file.materials(act) or file.verdict(act).level == BLOCKED:
        return ""
    return file.clearance.reference if file.clearance else ""
