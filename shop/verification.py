"""Whether what is kept is still what was written: chains of provenance, files, issued words.

Everything is walked row by row, so that a large shop needs no more memory than a small one.
"""

import hashlib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from django.db.models.fields.files import FieldFile

from instruments.actions.chain import breaks
from instruments.models import ChainLink, Document, Instrument, Photo, WaitingPhoto
from shop.fingerprints import fingerprint
from shop.models import HistoryIssue, LeadPhoto, Paper, Payment, Publication, Purchase, TermsVersion
from shop.states import PaymentMethod

ROWS_AT_A_TIME = 200
FILES = (
    (Photo, "original"),
    (WaitingPhoto, "original"),
    (LeadPhoto, "original"),
    (Document, "file"),
    (Paper, "file"),
)
PICTURES = ("thumb", "page", "print")
WORDS = ((HistoryIssue, "content"), (Publication, "words"), (TermsVersion, "words"))


@dataclass
class Verification:
    """One walk through the record. `checked` counts what was looked at, by kind, as the walk goes on."""

    stock_number: str = ""  # only this instrument; empty is all of them
    checked: Counter = field(default_factory=Counter)

    def faults(self) -> Iterator[str]:
        """One sentence for each fault, beginning with the place where it can be looked at again."""
        yield from self._chains()
        for model, name in FILES:
            yield from self._files(model, name)
        for model, name in WORDS:
            yield from self._words(model, name)
        yield from self._part_exchanges()

    def _chains(self) -> Iterator[str]:
        instruments = Instrument.objects.order_by("id")
        if self.stock_number:
            instruments = instruments.filter(stock_number=self.stock_number)
        for instrument in instruments.iterator(chunk_size=ROWS_AT_A_TIME):
            self.checked["chain"] += 1
            self.checked["link"] += ChainLink.objects.filter(instrument=instrument).count()
            for each in breaks(instrument):
                yield f"chain of {each.sentence}"

    def _files(self, model, name: str) -> Iterator[str]:
        kind = model._meta.verbose_name
        for row in self._rows(model):
            self.checked[f"file of a {kind}"] += 1
            place = f"{model._meta.label_lower} {row.pk}"
            kept = getattr(row, name)
            if fault := _file_fault(kept, row.sha256):
                yield f"{place}, {kept.name}: {fault}"
            yield from _missing_pictures(row, place)

    def _words(self, model, name: str) -> Iterator[str]:
        for row in self._rows(model):
            self.checked[model._meta.verbose_name] += 1
            if fingerprint(getattr(row, name)) != row.sha256:
                yield f"{model._meta.label_lower} {row.pk}: its words are not those it was issued with."

    def _part_exchanges(self) -> Iterator[str]:
        """What was allowed for a piano and what was paid by it toward a sale are one sum, on two papers."""
        newest = Purchase.objects.filter(allowed_against__isnull=False, corrected_by__isnull=True)
        if self.stock_number:
            newest = newest.filter(instrument__stock_number=self.stock_number)
        for purchase in newest.select_related("instrument").iterator(chunk_size=ROWS_AT_A_TIME):
            self.checked["part exchange"] += 1
            paid = Payment.objects.filter(
                promise=purchase.allowed_against_id,
                method=PaymentMethod.PART_EXCHANGE,
                amount_minor=purchase.price_minor,
            )
            if not paid.exists():
                yield (
                    f"part exchange of {purchase.instrument.stock_number}: no payment of its allowance "
                    "toward the sale it was allowed against."
                )

    def _rows(self, model) -> Iterator:
        rows = model.objects.order_by("id")
        if self.stock_number and model in (WaitingPhoto, LeadPhoto, TermsVersion):
            return iter(())
        if self.stock_number:
            path = "listing__instrument" if model is Publication else "instrument"
            rows = rows.filter(**{f"{path}__stock_number": self.stock_number})
        return rows.iterator(chunk_size=ROWS_AT_A_TIME)


def _file_fault(kept: FieldFile, sha256: str) -> str:
    digest = hashlib.sha256()
    try:
        with kept.storage.open(kept.name, "rb") as opened:
            for chunk in opened.chunks():
                digest.update(chunk)
    except OSError as error:
        return f"the file cannot be read ({error.strerror or error})."
    return "" if digest.hexdigest() == sha256 else "the file is not the one that was kept."


def _missing_pictures(row, place: str) -> Iterator[str]:
    for name in PICTURES:
        kept = getattr(row, name, None)
        if kept is not None and not kept.storage.exists(kept.name):
            yield f"{place}, {kept.name}: the {name} picture is missing."
