"""Whether what is kept is still what was written: chains of provenance, files, issued words.

Everything is walked row by row, so that a large shop needs no more memory than a small one.
"""

import hashlib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from django.apps import apps
from django.db.models import Q
from django.db.models.fields.files import FieldFile

from instruments.actions.chain import breaks, row_hash
from instruments.models import (
    AppendOnly,
    ChainLink,
    Document,
    Instrument,
    NumberSeries,
    Photo,
    Recording,
    WaitingPhoto,
)
from shop.actions.payments import PREFIX
from shop.actions.payments import SERIES as RECEIPTS
from shop.db.open_credit import open_credit_faults
from shop.fingerprints import fingerprint
from shop.log_check import log_faults
from shop.models import (
    HistoryIssue,
    LeadPhoto,
    LogLine,
    Paper,
    Payment,
    Publication,
    Purchase,
    Receipt,
    Removal,
    TermsVersion,
)
from shop.person_rows import ERASED, ROWS, Rows
from shop.settled_check import settled_faults
from shop.states import PaymentMethod

ROWS_AT_A_TIME = 200
FILES = (
    (Photo, "original"),
    (WaitingPhoto, "original"),
    (LeadPhoto, "original"),
    (Document, "file"),
    (Paper, "file"),
    (Recording, "original"),
)
MADE_FROM_IT = {
    "thumb": "thumb picture",
    "medium": "medium picture",
    "page": "page picture",
    "print": "print picture",
    "copy": "playable copy",
}
WORDS = ((HistoryIssue, "content"), (Publication, "words"), (TermsVersion, "words"))


@dataclass
class Verification:
    """One walk through the record. `checked` counts what was looked at, by kind, as the walk goes on."""

    stock_number: str = ""  # only this instrument; empty is all of them
    checked: Counter = field(default_factory=Counter)

    def __post_init__(self):
        self.stones = {(stone.kind, stone.row): stone for stone in Removal.objects.iterator()}

    def faults(self) -> Iterator[str]:
        """One sentence for each fault, beginning with the place where it can be looked at again."""
        yield from self._chains()
        for model, name in FILES:
            yield from self._files(model, name)
        for model, name in WORDS:
            yield from self._words(model, name)
        yield from self._part_exchanges()
        yield from self._receipts()
        if not self.stock_number:
            yield from self._removals()
            yield from settled_faults()
            yield from open_credit_faults()
            self.checked["line of the log"] = LogLine.objects.count()
            yield from log_faults()

    def _chains(self) -> Iterator[str]:
        instruments = Instrument.objects.all()
        if self.stock_number:
            instruments = instruments.filter(stock_number=self.stock_number)
        self.checked["chain"] += instruments.count()
        self.checked["link"] += ChainLink.objects.filter(instrument__in=instruments).count()
        for each in breaks(instruments, self._erased):
            yield f"chain of {each.sentence}"

    def _files(self, model, name: str) -> Iterator[str]:
        kind = model._meta.verbose_name
        for row in self._rows(model):
            self.checked[f"file of a {kind}"] += 1
            place = f"{model._meta.label_lower} {row.pk}"
            kept = getattr(row, name)
            if stone := self.stones.get((model._meta.label_lower, row.pk)):
                yield from _not_gone(kept, row.sha256, stone, place)
                continue
            if fault := _file_fault(kept, row.sha256):
                yield f"{place}, {kept.name}: {fault}"
            yield from _missing_copies(row, place)

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

    def _receipts(self) -> Iterator[str]:
        """Every payment has its receipt, and no number of theirs is missing."""
        without = Payment.objects.filter(receipt__isnull=True)
        if self.stock_number:
            number = self.stock_number
            without = without.filter(
                Q(promise__instrument__stock_number=number)
                | Q(commission__order__instrument__stock_number=number)
            )
        for pk in without.order_by("id").values_list("pk", flat=True):
            yield f"shop.payment {pk}: it has no receipt."
        if self.stock_number:
            return
        given = Counter()
        for number in Receipt.objects.order_by("id").values_list("number", flat=True).iterator():
            self.checked["receipt"] += 1
            given[number.partition("-")[0]] += 1
        for last in NumberSeries.objects.filter(series=RECEIPTS).order_by("year"):
            have = given[f"{PREFIX}{last.year % 100:02d}"]
            if have != last.last:
                yield f"receipts of {last.year}: {last.last} numbers were given out, {have} are there."

    @property
    def _erased(self) -> dict[tuple[str, int], str]:
        """Of records in a chain: what their hash is since words were taken out of them."""
        return {(kind.partition(".")[2], row): stone.row_sha256 for (kind, row), stone in self.stones.items()}

    def _removals(self) -> Iterator[str]:
        """What was erased is as it was left, and has its stone; nothing was erased outside the program."""
        for (kind, pk), stone in self.stones.items():
            self.checked["removal"] += 1
            row = apps.get_model(kind)._default_manager.filter(pk=pk).first()
            if row is None or row_hash(row) != stone.row_sha256:
                yield f"{kind} {pk}: it is not what was left of it on {stone.removed_on:%-d %B %Y}."
        for rows in ROWS:
            if issubclass(rows.model, AppendOnly) and rows.words:
                yield from self._without_stone(rows)

    def _without_stone(self, rows: Rows) -> Iterator[str]:
        kind, marked = rows.model._meta.label_lower, Q()
        for name in rows.words:
            marked |= Q(**{name: f"[{ERASED}]"})
        for pk in rows.model._default_manager.filter(marked).values_list("pk", flat=True):
            if (kind, pk) not in self.stones:
                yield f"{kind} {pk}: words of it were erased outside the program."

    def _rows(self, model) -> Iterator:
        rows = model.objects.order_by("id")
        if self.stock_number and model in (WaitingPhoto, LeadPhoto, TermsVersion):
            return iter(())
        if self.stock_number:
            path = "listing__instrument" if model is Publication else "instrument"
            rows = rows.filter(**{f"{path}__stock_number": self.stock_number})
        return rows.iterator(chunk_size=ROWS_AT_A_TIME)


def _not_gone(kept: FieldFile, sha256: str, stone: Removal, place: str) -> Iterator[str]:
    if kept.storage.exists(kept.name):
        yield f"{place}, {kept.name}: the file is there although it was removed."
    if stone.file_sha256 != sha256:
        yield f"{place}: the stone names another file than the record."


def _file_fault(kept: FieldFile, sha256: str) -> str:
    digest = hashlib.sha256()
    try:
        with kept.storage.open(kept.name, "rb") as opened:
            for chunk in opened.chunks():
                digest.update(chunk)
    except OSError as error:
        return f"the file cannot be read ({error.strerror or error})."
    return "" if digest.hexdigest() == sha256 else "the file is not the one that was kept."


def _missing_copies(row, place: str) -> Iterator[str]:
    for name, words in MADE_FROM_IT.items():
        kept = getattr(row, name, None)
        if kept and not kept.storage.exists(kept.name):
            yield f"{place}, {kept.name}: the {words} is missing."
