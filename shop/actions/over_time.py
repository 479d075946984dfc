"""Letting go of what has passed its time without anybody asking, as fixtures/retention.json says."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from django.db import models, transaction

from shop.actions.erasing import MARK, clear_row, close_link, delete_row
from shop.models import Lead, LeadPhoto, PhotoLink, Telling, WaitingPlace, Wanted
from shop.person_rows import ROWS
from shop.retention_periods import Period, retention_periods
from shop.states import LeadState

NOT_BOUGHT = (LeadState.DECLINED, LeadState.LOST)
(OF_LEADS,) = (rows for rows in ROWS if rows.model is Lead)


@dataclass(frozen=True)
class OverTime:
    """One row whose time is over, and since when."""

    period: Period
    row: models.Model
    since: date

    def __str__(self) -> str:
        return f"{self.row._meta.verbose_name} no. {self.row.pk}, ended {self.since:%-d %B %Y}"


def past_their_length(*, on: date) -> list[OverTime]:
    """What goes today, the kinds in the order of the file."""
    periods = retention_periods()
    return [
        OverTime(periods[code], row, since)
        for code, found in (("leads", _leads()), ("wishes", _closed(Wanted)), ("waiting_places", _places()))
        for row, since in found
        if periods[code].is_over(since, on)
    ]


def _leads() -> Iterator[tuple[models.Model, date]]:
    for lead in Lead.objects.filter(state__in=NOT_BOUGHT, decided_on__isnull=False).order_by("pk"):
        if _says_something(lead) or lead.photos.exists():
            yield lead, lead.decided_on


def _says_something(lead: Lead) -> bool:
    return any(getattr(lead, name) not in {"", MARK} for name in OF_LEADS.words)


def _closed(model) -> Iterator[tuple[models.Model, date]]:
    for row in model.objects.filter(closed_on__isnull=False).order_by("pk"):
        yield row, row.closed_on


def _places() -> Iterator[tuple[models.Model, date]]:
    yield from _closed(WaitingPlace)


@transaction.atomic
def let_go(over: OverTime) -> None:
    """Of a lead its words and photographs; a wish with all it was told of; a place on a list."""
    row = over.row
    if isinstance(row, Lead):
        for photo in LeadPhoto.objects.filter(lead=row):
            delete_row(photo)
        for link in PhotoLink.objects.filter(lead=row):
            close_link(link)
        clear_row(OF_LEADS, row, None)
        return
    if isinstance(row, Wanted):
        for telling in Telling.objects.filter(wanted=row):
            delete_row(telling)
    delete_row(row)
