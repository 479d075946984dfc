"""What is missing of an item's proof: a sentence for the bench, and the words that state it to a buyer."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Max
from django.utils import timezone

from instruments.models import Photo
from instruments.problems import Blocker
from workorders.models import WorkItem
from workorders.states import ItemState

NAMED_AT_MOST = 12


@dataclass(frozen=True)
class Lacking(Blocker):
    """`publicly` says what is not there without names or advice: "outside the curve: C4 (58 g)"."""

    publicly: str = ""


def stated_limit(item: WorkItem, lacking: Sequence[Lacking]) -> str:
    """How work that was accepted without its whole proof is told to a buyer. Composed, never typed."""
    said = [each.publicly for each in lacking if each.publicly]
    parts = [f"{part[:1].upper()}{part[1:]}." for part in said]
    return " ".join([f"{item.name}: accepted by the shop without the proof it asks for.", *parts])


def older_than_the_work(
    item: WorkItem, day: date, which: str, *, publicly: str, and_do: str, own_work: bool = True
) -> list[Lacking]:
    """Evidence of a day before the work it is to judge: what came first, or time on the item itself."""
    last = item.needs.filter(state=ItemState.DONE).order_by("-closed_at").first()
    if last and day < (done_on := timezone.localdate(last.closed_at)):
        return [
            Lacking(
                f"{which} is older than “{last.name}”, done on {done_on:%-d %B %Y}. {and_do}",
                publicly=publicly,
            )
        ]
    worked_on = last_worked_on(item) if own_work else None
    if worked_on is None or day >= worked_on:
        return []
    return [
        Lacking(
            f"{which} is older than the work itself, last done on {worked_on:%-d %B %Y}. {and_do}",
            publicly=publicly,
        )
    ]


def last_worked_on(item: WorkItem) -> date | None:
    """The last day with time on it that nobody has taken back."""
    standing = item.times.filter(corrects__isnull=True, corrected_by__isnull=True)
    return standing.aggregate(last=Max("worked_on"))["last"]


def day_of(photo: Photo) -> date:
    """The day it says it was taken; else the day it came."""
    return photo.taken_on or timezone.localdate(photo.uploaded_at)


def listed(names: Sequence[str]) -> str:
    shown, more = list(names[:NAMED_AT_MOST]), len(names) - NAMED_AT_MOST
    if more > 0:
        shown.append(f"{more} more")
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"
