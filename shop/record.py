"""What happened to an instrument, when and by whom, in one list a person can read.

Changes come from the history tables with the sentence their action gave; append-only rows speak for
themselves. Each source is bounded, so that the number of queries and rows does not grow with age.
"""

from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import User

from instruments.key_marks import mark_entries
from instruments.models import Breaks, ConditionReport, Evidence, Film, Instrument, Photo, Recording, Tone
from instruments.models.together import alongside, asking
from shop.models import Listing, Promise, Trial
from workorders.currency import in_words
from workorders.models import WorkItem, WorkOrder

MOST = 40


@dataclass(frozen=True)
class Entry:
    at: datetime
    who: str
    what: str


@asking
def record_of(instrument: Instrument, *, user):
    """The newest entries first; people and money only for those whose work needs them."""
    told = yield from alongside(
        *(_changes(model.history.filter(instrument=instrument)) for model in _changed(user)),
        _changes(instrument.history),
        _changes(WorkItem.history.filter(order__instrument=instrument)),
        _records(instrument),
        _evidence(instrument, user),
        _marked(instrument),
        *([_money(instrument)] if user.has_perm("shop.see_costs") else []),
    )
    entries: list[Entry] = [each for some in told for each in some]
    return sorted(entries, key=lambda entry: entry.at, reverse=True)[:MOST]


def _changed(user) -> list:
    """What leads to its instrument and keeps its changes, as far as this person may read of it."""
    kept = [Photo, Recording, Film, Breaks, Tone, ConditionReport, WorkOrder, Listing]
    return [*kept, *([Promise, Trial] if user.has_perm("shop.see_people") else [])]


def _changes(history):
    rows = history.order_by("-history_date").values_list(
        "history_date",
        "history_change_reason",
        "history_user__username",
        "history_user__first_name",
        "history_user__last_name",
    )
    (rows,) = yield (rows[:MOST],)
    return [
        Entry(at, _name(User(username=name, first_name=first, last_name=last) if name else None), why)
        for at, why, name, first, last in rows
        if why
    ]


def _marked(instrument: Instrument):
    entries = yield from mark_entries.later(instrument, most=MOST)
    return [Entry(each.at, _name(each.by), each.sentence) for each in entries]


def _records(instrument: Instrument):
    statements = instrument.statements.select_related("recorded_by").order_by("-id")[:MOST]
    findings = instrument.findings.select_related("found_by").order_by("-id")[:MOST]
    weighings = instrument.weighings.select_related("weighed_by")[:MOST]
    prices = instrument.asking_prices.select_related("set_by")[:MOST]
    clearances = instrument.clearances.select_related("recorded_by")[:MOST]
    rows = yield statements, findings, weighings, prices, clearances
    statements, findings, weighings, prices, clearances = rows
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


def _evidence(instrument: Instrument, user):
    """What was put on file for and against, tell-tales seen, and the papers this person may know of."""
    pieces = Evidence.objects.filter(statement__instrument=instrument).select_related("recorded_by")
    pieces = pieces.order_by("-id")[:MOST]
    sightings = instrument.sightings.select_related("seen_by", "tell_tale").order_by("-id")[:MOST]
    documents = instrument.documents.open_to(user).select_related("added_by").order_by("-id")[:MOST]
    pieces, sightings, documents = yield pieces, sightings, documents
    return [
        *(Entry(e.recorded_at, _name(e.recorded_by), _put_on_file(e)) for e in pieces),
        *(Entry(s.recorded_at, _name(s.seen_by), f"Tell-tale. {s}") for s in sightings),
        *(Entry(d.added_at, _name(d.added_by), f"Document put on file: {d}") for d in documents),
    ]


def _put_on_file(evidence: Evidence) -> str:
    return f"Evidence taken back: {evidence.note}" if evidence.retracts_id else f"Evidence. {evidence}"


def _money(instrument: Instrument):
    purchases = instrument.purchases.select_related("recorded_by")[:MOST]
    costs = instrument.cost_lines.select_related("recorded_by").order_by("-id")[:MOST]
    purchases, costs = yield purchases, costs
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
