"""Whether an issued history still says what the record says."""

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Max
from django.utils import timezone

from shop.fingerprints import fingerprint
from shop.histories import history_of
from shop.models import HistoryIssue
from workorders.models import WorkItem

SECTIONS = {
    "sentence": "what it is called",
    "life": "its life line",
    "facts": "what it is",
    "said": "what is said of it",
    "tested": "what did not bear testing",
    "owners": "its owners",
    "examined": "what was examined",
    "not_examined": "what was not examined",
    "done": "the work done",
    "not_done": "the work left",
    "touch": "the touch weight",
    "photos": "the photographs",
    "not_known": "what is not known",
    "serviced": "the visits after it was sold",
}


@dataclass(frozen=True)
class StandingOfHistory:
    is_whole: bool  # what is stored is what was issued
    stands: bool  # the record says the same today
    changed_on: date | None = None  # the last entry of the record since
    changed: tuple[str, ...] = ()  # sections that say something else today
    newer: HistoryIssue | None = None


def standing_of_history(issue: HistoryIssue, *, today: date) -> StandingOfHistory:
    """Compared with the record as it is now."""
    now = history_of(issue.instrument, today=today).plain()
    newer = HistoryIssue.objects.filter(instrument=issue.instrument, pk__gt=issue.pk).first()
    is_whole = fingerprint(issue.content) == issue.sha256
    if fingerprint(now) == issue.sha256:
        return StandingOfHistory(is_whole, stands=True, newer=newer)
    changed = tuple(words for name, words in SECTIONS.items() if now.get(name) != issue.content.get(name))
    return StandingOfHistory(is_whole, False, _last_entry(issue), changed, newer)


def _last_entry(issue: HistoryIssue) -> date | None:
    """The day of the newest row that a history is made from, if it is newer than the issue."""
    instrument = issue.instrument
    moments = [
        instrument.chain.aggregate(last=Max("linked_at")),
        instrument.findings.aggregate(last=Max("recorded_at")),
        instrument.sightings.aggregate(last=Max("recorded_at")),
        instrument.key_marks.aggregate(last=Max("recorded_at")),
        instrument.pin_surveys.aggregate(last=Max("recorded_at")),
        instrument.pitch_surveys.aggregate(last=Max("recorded_at")),
        instrument.wire_surveys.aggregate(last=Max("recorded_at")),
        instrument.weighings.aggregate(last=Max("closing__closed_at")),
        instrument.purchases.aggregate(last=Max("recorded_at")),
        instrument.clearances.aggregate(last=Max("recorded_at")),
        instrument.sales.aggregate(last=Max("recorded_at")),
        instrument.care_visits.aggregate(last=Max("records__recorded_at")),
        instrument.call_backs.model.history.filter(instrument=instrument).aggregate(last=Max("history_date")),
        instrument.history.aggregate(last=Max("history_date")),
        instrument.photos.model.history.filter(instrument=instrument).aggregate(last=Max("history_date")),
        WorkItem.history.filter(order__instrument=instrument).aggregate(last=Max("history_date")),
    ]
    later = [_moment for each in moments if (_moment := each["last"]) and _moment > issue.issued_at]
    return _day(max(later)) if later else None


def _day(moment: datetime) -> date:
    return timezone.localdate(moment)
