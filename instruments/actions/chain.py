"""The chain of an instrument's provenance: what each record said when it was written, hashed onto the last.

A row changed, removed or slipped in outside the program breaks the chain where it happened, and
`manage.py verify` says which. One chain for each instrument; the instrument's row is locked before the
chain is read, so that two records at once take places one after the other.
"""

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from types import MappingProxyType

from django.db import models
from django.db.models import Exists, F, OuterRef

from instruments.models import ChainLink, Document, Evidence, Instrument, Sighting, Statement

KINDS: dict[str, type[models.Model]] = {
    "statement": Statement,
    "evidence": Evidence,
    "sighting": Sighting,
    "document": Document,
}
START = "0" * 64
AT_A_TIME = 500
# Columns that came when links were there already: empty they are left out, so that older links still hold.
CAME_LATER = {"evidence": {"measured_value_id", "report_id", "pin_survey_id", "pitch_survey_id"}}


@dataclass(frozen=True)
class Break:
    """Where a chain does not hold, in a sentence."""

    instrument: str
    sentence: str


def add_link(row: models.Model, *, instrument: Instrument) -> ChainLink:
    """Hash a record onto its instrument's chain. Must run in the transaction that writes the record."""
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    last = ChainLink.objects.filter(instrument=instrument).order_by("-position").first()
    position, before = (last.position + 1, last.sha256) if last else (1, START)
    row_sha256 = row_hash(row)
    return ChainLink.objects.create(
        instrument=instrument,
        position=position,
        kind=_kind(row),
        row=row.pk,
        row_sha256=row_sha256,
        sha256=link_hash(before, _kind(row), row.pk, row_sha256),
    )


def row_hash(row: models.Model) -> str:
    """SHA-256 of every stored column of a row, read back as the database gives it; see `CAME_LATER`."""
    return _stored_hash(_kind(row), type(row).objects.values().get(pk=row.pk))


def _stored_hash(kind: str, stored: dict) -> str:
    later = CAME_LATER.get(kind, set())
    kept = {name: value for name, value in stored.items() if value is not None or name not in later}
    words = json.dumps(kept, sort_keys=True, ensure_ascii=False, default=_plain)
    return hashlib.sha256(words.encode()).hexdigest()


def link_hash(before: str, kind: str, row: int, row_sha256: str) -> str:
    return hashlib.sha256(f"{before}|{kind}|{row}|{row_sha256}".encode()).hexdigest()


def breaks(
    instruments: models.QuerySet[Instrument], erased: Mapping[tuple[str, int], str] = MappingProxyType({})
) -> Iterator[Break]:
    """Every place where the chain of one of them does not hold; nothing when all are whole.

    `erased` are the records whose words about a person were taken out, with what their hash is since.
    """
    whose, before, expected = None, START, 0
    for link, found in _links(instruments):
        if link.instrument_id != whose:
            whose, before, expected = link.instrument_id, START, 0
        expected += 1
        if link.position != expected:
            yield _break(link.stock_number, f"a link is missing before place {link.position}")
            expected = link.position
        if found is None:
            yield _break(link.stock_number, f"{link.kind} {link.row} is gone")
        elif found not in (link.row_sha256, erased.get((link.kind, link.row))):
            yield _break(link.stock_number, f"{link.kind} {link.row} was changed outside the program")
        if link.sha256 != link_hash(before, link.kind, link.row, link.row_sha256):
            yield _break(link.stock_number, f"link {link.position} does not follow from the one before it")
        before = link.sha256
    yield from _unlinked(instruments)


def _links(instruments: models.QuerySet[Instrument]) -> Iterator[tuple[ChainLink, str | None]]:
    """Chain after chain, each link with the hash of its row as it is now; None where the row is gone.

    Some hundreds at a time, so that many or long chains cost a query for hundreds of rows and little memory.
    """
    links = ChainLink.objects.filter(instrument__in=instruments).order_by("instrument_id", "position")
    links = links.annotate(stock_number=F("instrument__stock_number")).iterator(AT_A_TIME)
    while some := list(islice(links, AT_A_TIME)):
        now = {}
        for kind in {link.kind for link in some}:
            rows = [link.row for link in some if link.kind == kind]
            for stored in KINDS[kind].objects.filter(pk__in=rows).values():
                now[kind, stored["id"]] = _stored_hash(kind, stored)
        yield from ((link, now.get((link.kind, link.row))) for link in some)


def _unlinked(instruments: models.QuerySet[Instrument]) -> Iterator[Break]:
    """Records that never went through the program."""
    for kind, model in KINDS.items():
        whose = "statement__instrument" if kind == "evidence" else "instrument"
        linked = ChainLink.objects.filter(kind=kind, row=OuterRef("pk"), instrument=OuterRef(whose))
        records = model.objects.filter(~Exists(linked), **{f"{whose}__in": instruments}).order_by("pk")
        for pk, stock_number in records.values_list("pk", f"{whose}__stock_number"):
            yield _break(stock_number, f"{kind} {pk} was slipped in outside the program")


def _break(stock_number: str, words: str) -> Break:
    return Break(stock_number, f"{stock_number}: {words}.")


def _kind(row: models.Model) -> str:
    return type(row)._meta.model_name


def _plain(value) -> str:
    return value.isoformat() if hasattr(value, "isoformat") else str(value)
