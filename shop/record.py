"""What happened to an instrument, when and by whom, in one list a person can read.

Changes come from the history tables with the sentence their action gave; append-only rows speak for
themselves. Each source is bounded, so that the number of queries and rows does not grow with age.
"""

from dataclasses import dataclass
from datetime import datetime

from instruments.key_marks import mark_entries
from instruments.models import Breaks, ConditionReport, Evidence, Film, Instrument, Photo, Recording, Tone
from shop.models import Listing, Promise, Trial
from workorders.currency import in_words
from workorders.models import WorkItem, WorkOrder

MOST = 40


@dataclass(frozen=True)
class Entry:
    at: datetime
    who: str
    what: str


def record_of(instrument: Instrument, *, user) -> list[Entry]:
    """The newest entries first; people and money only for those whose work needs them."""
    sees_people, sees_costs = user.has_perm("shop.see_people"), user.has_perm("shop.see_costs")
    entries = [
        *_changes(instrument.history),
        *_changes(Photo.history.filter(instrument=instrument)),
        *_changes(Recording.history.filter(instrument=instrument)),
        *_changes(Film.history.filter(instrument=instrument)),
        *_changes(Breaks.history.filter(instrument=instrument)),
        *_changes(Tone.history.filter(instrument=instrument)),
        *_changes(ConditionReport.history.filter(instrument=instrument)),
        *_changes(WorkOrder.history.filter(instrument=instrument)),
        *_changes(WorkItem.history.filter(order__instrument=instrument)),
        *_changes(Listing.history.filter(instrument=instrument)),
        *_records(instrument),
        *_evidence(instrument, user),
        *(Entry(e.at, _name(e.by), e.sentence) for e in mark_entries(instrument, most=MOST)),
    ]
    if sees_people:
        entries += _changes(Promise.history.filter(instrument=instrument))
        entries += _changes(Trial.history.filter(instrument=instrument))
    if sees_costs:
        entries += _money(instrument)
    return sorted(entries, key=lambda entry: entry.at, reverse=True)[:MOST]


def _changes(history) -> list[Entry]:
    rows = history.select_related("history_user").order_by("-history_date")[:MOST]
    return [
        Entry(row.history_date, _name(row.history_user), row.history_change_reason)
        for row in rows
        if row.history_change_reason
    ]


def _records(instrument: Instrument) -> list[Entry]:
    statements = instrument.statements.select_related("recorded_by").order_by("-id")[:MOST]
    findings = instrument.findings.select_related("found_by").order_by("-id")[:MOST]
    weighings = instrument.weighings.select_related("weighed_by")[:MOST]
    prices = instrument.asking_prices.select_related("set_by")[:MOST]
    clearances = instrument.clearances.select_related("recorded_by")[:MOST]
    return [
        *(Entry(s.recorded_at, _name(s.recorded_by), f"Statement recorded. {s}") for s in statements),
        *(Entry(f.recorded_at, _name(f.found_by), f"Examined. {f}") for f in findings),
        *(Entry(w.recorded_at, _name(w.weighed_by), f"{w} recorded") for w in weighings),
        *(
            Entry(
                p.recorded_at, _name(p.set_by), f"Asking price {in_words(p.amount_minor)}. {p.reason}".strip()
            )
            for p in prices
        ),
        *(Entry(c.recorded_at, _name(c.recorded_by), f"Clearance recorded: {c}") for c in clearances),
    ]


def _evidence(instrument: Instrument, user) -> list[Entry]:
    """What was put on file for and against, tell-tales seen, and the papers this person may know of."""
    pieces = Evidence.objects.filter(statement__instrument=instrument).select_related("recorded_by")
    sightings = instrument.sightings.select_related("seen_by", "tell_tale").order_by("-id")[:MOST]
    documents = instrument.documents.open_to(user).select_related("added_by").order_by("-id")[:MOST]
    return [
        *(Entry(e.recorded_at, _name(e.recorded_by), _put_on_file(e)) for e in pieces.order_by("-id")[:MOST]),
        *(Entry(s.recorded_at, _name(s.seen_by), f"Tell-tale. {s}") for s in sightings),
        *(Entry(d.added_at, _name(d.added_by), f"Document put on file: {d}") for d in documents),
    ]


def _put_on_file(evidence: Evidence) -> str:
    return f"Evidence taken back: {evidence.note}" if evidence.retracts_id else f"Evidence. {evidence}"


def _money(instrument: Instrument) -> list[Entry]:
    purchases = instrument.purchases.select_related("recorded_by")[:MOST]
    costs = instrument.cost_lines.select_related("recorded_by").order_by("-id")[:MOST]
    return [
        *(Entry(p.recorded_at, _name(p.recorded_by), f"Purchase recorded{_paid(p)}") for p in purchases),
        *(Entry(c.recorded_at, _name(c.recorded_by), _spent(c)) for c in costs),
    ]


def _spent(line) -> str:
    return f"{line.get_kind_display()} {in_words(line.amount_minor)}. {line.note}".strip()


def _paid(purchase) -> str:
    return f": {in_words(purchase.price_minor)}" if purchase.price_minor is not None else ""


def _name(user) -> str:
    return (user.get_full_name() or user.get_username()) if user else "Wrestplank"
