"""Everything written of an instrument: each changed field, old beside new, and each row that was added.

The history tables and the rows that are only added are walked as one list by SQL; only those of one page are
fetched, a version with the one before it, so that the number of queries does not grow with age.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from django.db.models import CharField, Model, OuterRef, QuerySet, Subquery, Value

from instruments.models import Breaks, ConditionReport, Film, Instrument, Photo, Recording, Tone
from shop.field_words import FieldWords, shown_fields
from shop.models import (
    CallBack,
    CareVisit,
    Commission,
    Enquiry,
    Listing,
    Promise,
    TakenIn,
    Trial,
    WaitingPlace,
)
from shop.written import KINDS
from shop.written_kinds import Kind
from workorders.models import OutsideJob, WorkItem, WorkOrder

ON_A_PAGE = 50
# Each kind of row with the path from its history to the instrument, and the right it takes to read it.
TRACKED: tuple[tuple[type[Model], str, str], ...] = (
    (Instrument, "id", ""),
    (Photo, "instrument", ""),
    (Recording, "instrument", ""),
    (Film, "instrument", ""),
    (Breaks, "instrument", ""),
    (Tone, "instrument", ""),
    (ConditionReport, "instrument", ""),
    (WorkOrder, "instrument", ""),
    (WorkItem, "order__instrument", ""),
    (OutsideJob, "order__instrument", "shop.see_costs"),
    (Listing, "instrument", ""),
    (Promise, "instrument", "shop.see_people"),
    (Trial, "instrument", "shop.see_people"),
    (WaitingPlace, "instrument", "shop.see_people"),
    (TakenIn, "instrument", "shop.see_people"),
    (Commission, "order__instrument", "shop.see_people"),
    (CareVisit, "instrument", "shop.see_people"),
    (CallBack, "instrument", "shop.see_people"),
    (Enquiry, "instrument", "shop.see_people"),
)


@dataclass(frozen=True)
class Change:
    field: str
    old: str
    new: str


@dataclass(frozen=True)
class Version:
    at: datetime
    who: str
    what: str
    reason: str
    changes: tuple[Change, ...] = ()
    note: str = ""  # what to say where no change stands


def versions_of(instrument: Instrument, *, user) -> QuerySet:
    """All versions that this person may read, newest first: dicts of kind, id and date."""
    parts = [
        model.history.filter(**{path: instrument.pk})
        .order_by()
        .annotate(row_kind=Value(model._meta.model_name, output_field=CharField()))
        .values("row_kind", "history_id", "history_date")
        for model, path, right in TRACKED
        if not right or user.has_perm(right)
    ]
    parts += [
        kind.references(instrument, user=user)
        for kind in KINDS
        if not kind.right or user.has_perm(kind.right)
    ]
    return parts[0].union(*parts[1:], all=True).order_by("-history_date", "-history_id", "row_kind")


def described(versions: list[dict], *, user) -> list[Version]:
    """The versions of one page with what each changed or says, in the same order."""
    wanted = defaultdict(list)
    for each in versions:
        wanted[each["row_kind"]].append(each["history_id"])
    pairs = {}
    for model, _, _ in TRACKED:
        if ids := wanted[model._meta.model_name]:
            pairs |= _with_predecessors(model, ids)
    words = FieldWords(row for pair in pairs.values() for row in pair if row)
    told = {key: _version(*pair, words) for key, pair in pairs.items()}
    for kind in KINDS:
        if keys := wanted[kind.code]:
            told |= {(kind.code, row.pk): _written(kind, row, user) for row in kind.rows(keys)}
    return [told[each["row_kind"], each["history_id"]] for each in versions]


def _written(kind: Kind, row: Model, user) -> Version:
    return Version(
        at=getattr(row, kind.at),
        who=_name(getattr(row, kind.who)),
        what=kind.title,
        reason=kind.line(row, user),
    )


def _with_predecessors(model: type[Model], ids: list[int]) -> dict:
    """Each version beside the one before it of the same row, or None."""
    history = model.history.model
    before = history.objects.filter(id=OuterRef("id"), history_id__lt=OuterRef("history_id"))
    rows = (
        history.objects.filter(history_id__in=ids)
        .select_related("history_user")
        .annotate(before=Subquery(before.order_by("-history_id").values("history_id")[:1]))
    )
    rows = list(rows)
    earlier = history.objects.in_bulk([row.before for row in rows if row.before])
    return {(model._meta.model_name, row.history_id): (row, earlier.get(row.before)) for row in rows}


def _version(row, before, words: FieldWords) -> Version:
    changes = tuple(_changes(row, before, words)) if before else ()
    nothing = "No field a person fills in was changed." if before else "Written down for the first time."
    return Version(
        at=row.history_date,
        who=_name(row.history_user),
        what=f"{row.instance_type._meta.verbose_name.capitalize()} {words.title(row)}".strip(),
        reason=row.history_change_reason or "",
        changes=changes,
        note="" if changes else nothing,
    )


def _changes(row, before, words: FieldWords):
    for field in shown_fields(row.instance_type):
        old, new = getattr(before, field.attname), getattr(row, field.attname)
        if old != new:
            yield Change(words.label(field), words.of(field, old), words.of(field, new))


def _name(user) -> str:
    return (user.get_full_name() or user.get_username()) if user else "Wrestplank"
