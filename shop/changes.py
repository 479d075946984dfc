"""Every change of every field of an instrument's rows, old beside new, page by page.

The history tables are walked as one list by SQL; only the rows of one page are fetched, each with the
version before it, so that the number of queries does not grow with age.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from django.db.models import CharField, Model, OuterRef, QuerySet, Subquery, Value

from instruments.models import Instrument, Photo
from shop.field_words import FieldWords, shown_fields
from shop.models import Listing, Promise, Trial
from workorders.models import WorkItem, WorkOrder

ON_A_PAGE = 50
# Each kind of row with the path from its history to the instrument, and the right it takes to read it.
TRACKED: tuple[tuple[type[Model], str, str], ...] = (
    (Instrument, "id", ""),
    (Photo, "instrument", ""),
    (WorkOrder, "instrument", ""),
    (WorkItem, "order__instrument", ""),
    (Listing, "instrument", ""),
    (Promise, "instrument", "shop.see_people"),
    (Trial, "instrument", "shop.see_people"),
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
    changes: tuple[Change, ...]
    is_first: bool


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
    return parts[0].union(*parts[1:], all=True).order_by("-history_date", "-history_id", "row_kind")


def described(versions: list[dict]) -> list[Version]:
    """The versions of one page with what each changed, in the same order."""
    wanted = defaultdict(list)
    for each in versions:
        wanted[each["row_kind"]].append(each["history_id"])
    pairs = {}
    for model, _, _ in TRACKED:
        if ids := wanted[model._meta.model_name]:
            pairs |= _with_predecessors(model, ids)
    words = FieldWords(row for pair in pairs.values() for row in pair if row)
    return [_version(*pairs[each["row_kind"], each["history_id"]], words) for each in versions]


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
    return Version(
        at=row.history_date,
        who=_name(row.history_user),
        what=f"{row.instance_type._meta.verbose_name.capitalize()} {words.title(row)}".strip(),
        reason=row.history_change_reason or "",
        changes=tuple(_changes(row, before, words)) if before else (),
        is_first=before is None,
    )


def _changes(row, before, words: FieldWords):
    for field in shown_fields(row.instance_type):
        old, new = getattr(before, field.attname), getattr(row, field.attname)
        if old != new:
            yield Change(words.label(field), words.of(field, old), words.of(field, new))


def _name(user) -> str:
    return (user.get_full_name() or user.get_username()) if user else "Wrestplank"
