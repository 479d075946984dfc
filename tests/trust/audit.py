"""Whether the record holds what people were told, each thing once, and nothing by halves."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import timedelta

from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from django.db import connection
from PIL import Image

from instruments.models import Instrument, NumberSeries, Photo, Submission
from instruments.photos import FILES
from shop.models import BookLine, Paper, Payment, Promise, Receipt, Sale, Trial
from shop.states import LineKind, PaperKind, TrialState
from shop.stray_files import stray_files
from tests.shop.money_oracle import every_sum_is_what_it_must_be
from tests.trust.traffic import Act
from workorders.models import WorkItem, WorkOrder
from workorders.states import ItemState

NUMBERED = {
    "receipt": (Receipt, "number"),
    "sale": (Sale, "number"),
    "trial": (Trial, "number"),
    "order": (WorkOrder, "number"),
    "stock": (Instrument, "stock_number"),
    "book line": (BookLine, "number"),
}


class Audit:
    """`promises` are those that payments go to; what was there before the traffic is not counted."""

    def __init__(self, promises: list[int]):
        self.promises = promises
        self.submissions_before = Submission.objects.count()
        self.photos_seen = set(Photo.objects.values_list("pk", flat=True))

    def stored(self) -> dict[str, Counter]:
        """How often each act stands in the record, by kind and key."""
        done = WorkItem.history.filter(state=ItemState.DONE).values_list("id", flat=True)
        return {
            "pay": Counter(
                Payment.objects.filter(promise__in=self.promises).values_list("amount_minor", flat=True)
            ),
            "photo": Counter(Photo.objects.values_list("sha256", flat=True)),
            "close": Counter(done),
            "trial": Counter(Trial.objects.exclude(state=TrialState.DRAFT).values_list("number", flat=True)),
            "sale": Counter(
                Sale.objects.exclude(promise__in=self.promises).values_list(
                    "instrument__stock_number", flat=True
                )
            ),
        }

    def missing(self, acts: Iterable[Act]) -> Iterator[str]:
        """What was acknowledged and is not there; what is there more than once, or that nobody sent."""
        stored, sent = self.stored(), {(act.kind, act.key) for act in acts}
        for act in acts:
            if act.is_acknowledged and not stored[act.kind][act.key]:
                yield f"{act.kind} {act.key} was acknowledged and is lost"
        for kind, counts in stored.items():
            for key, count in counts.items():
                if count > 1:
                    yield f"{kind} {key} is there {count} times"
                if (kind, key) not in sent:
                    yield f"{kind} {key} is there and nobody sent it"

    def halves(self, acts: Iterable[Act]) -> Iterator[str]:
        """An act of which a part is there; a number that was given out and belongs to nothing."""
        stored = self.stored()
        count = sum(bool(stored[act.kind][act.key]) for act in acts)
        remembered = Submission.objects.count() - self.submissions_before
        if count != remembered:
            yield f"{count} acts are there, {remembered} are remembered as done"
        if without := Submission.objects.filter(url="").count():
            yield f"{without} acts are remembered without where they led"
        yield from self._money()
        yield from self._promises()
        yield from self._numbers()
        yield from self._pictures()

    def _money(self) -> Iterator[str]:
        without = Payment.objects.filter(receipt__isnull=True).count()
        if without:
            yield f"{without} payments have no receipt"
        try:
            every_sum_is_what_it_must_be()
        except AssertionError as error:
            yield f"the sums do not agree: {error}"

    def _promises(self) -> Iterator[str]:
        payments = Counter(Payment.objects.values_list("promise", flat=True))
        papers = Paper.objects.filter(kind=PaperKind.TRIAL_AGREEMENT)
        agreements = Counter(papers.values_list("trial", flat=True))
        lines = Counter(BookLine.objects.filter(kind=LineKind.SOLD).values_list("sale", flat=True))
        for trial in Trial.objects.exclude(state=TrialState.DRAFT):
            if (payments[trial.promise_id], agreements[trial.pk]) != (1, 1):
                yield f"{trial.number} has started and is not whole"
        for sale in Sale.objects.exclude(promise__in=self.promises):
            if (payments[sale.promise_id], lines[sale.pk]) != (1, 1):
                yield f"{sale.number} is not whole"
        whole = Trial.objects.exclude(state=TrialState.DRAFT).count() + Sale.objects.count()
        if Promise.objects.count() != whole:
            yield f"{Promise.objects.count()} promises, of which {whole} have their trial or sale"

    def _numbers(self) -> Iterator[str]:
        for given in NumberSeries.objects.filter(series__in=NUMBERED):
            model, name = NUMBERED[given.series]
            have = sorted(_number(each) for each in model.objects.values_list(name, flat=True))
            if have != list(range(1, given.last + 1)):
                yield f"the numbers of {given.series} have a gap: {len(have)} of {given.last} are there"

    def _pictures(self) -> Iterator[str]:
        """Every file of a new photograph decodes to its last line; `verify` compares the original's hash."""
        for photo in Photo.objects.exclude(pk__in=self.photos_seen):
            self.photos_seen.add(photo.pk)
            for part in FILES:
                try:
                    with default_storage.open(getattr(photo, part).name) as kept, Image.open(kept) as picture:
                        picture.load()
                except OSError as error:
                    yield f"photo {photo.pk}: its {part} is not whole ({error})"


def _number(said) -> int:
    return int(re.search(r"\d+$", str(said)).group())


def verified() -> Iterator[str]:
    """What `manage.py verify` says, and SQLite of its own file."""
    said = _Lines()
    try:
        call_command("verify", stdout=said)
    except CommandError:
        yield from said.lines
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            (answer,) = cursor.execute("PRAGMA quick_check").fetchone()
        if answer != "ok":
            yield f"quick_check: {answer}"


class _Lines:
    def __init__(self):
        self.lines: list[str] = []

    def write(self, text: str) -> None:
        self.lines += text.splitlines()


def strays_cleared() -> tuple[int, int]:
    """How many files `manage.py stray_files` finds, and how many are left once it has removed them."""
    found = len(list(stray_files(older_than=timedelta())))
    call_command("stray_files", "--remove", "--minutes", "0", stdout=_Lines())
    return found, len(list(stray_files(older_than=timedelta())))
